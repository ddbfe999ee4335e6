// export: a stored stroke for other programs.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "sim/base/error.h"
#include "viz/app/output.h"
#include "viz/app/verbs.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/export/export.h"
#endif

namespace leverwright::app {

#ifdef LEVERWRIGHT_HAS_PICTURES
int run_export(const ExportWords& w, const Terminal& terminal) {
  if (!(w.every >= 0.01 && w.every <= 1000))
    throw base::UserError("--every is out of range", "between 0.01 and 1000 ms");
  need_sound_study(w.study_path);
  const film::FilmStroke stroke = film::read_film_stroke(w.study_path, w.set_up, w.stroke);
  const OutputFolder folder(
      w.out.empty() ? std::filesystem::path(w.study_path).replace_extension("").string() + "_export" : w.out);
  const auto wanted = [&](const char* kind) {
    return w.kinds.empty() || std::find(w.kinds.begin(), w.kinds.end(), kind) != w.kinds.end();
  };
  const std::string stem = "stroke_" + file_word(w.stroke);
  std::vector<std::string> files;
  if (wanted("csv")) {
    files.push_back(folder.file(stem + ".csv"));
    write_text_file(files.back(), exports::write_stroke_csv(stroke));
  }
  if (wanted("gltf")) {
    files.push_back(folder.file(stem + ".gltf"));
    write_text_file(files.back(), exports::write_gltf(stroke, 1e-3 * w.every));
  }
  if (wanted("vtk")) {
    const auto written = exports::write_vtk(stroke, 1e-3 * w.every, folder.path(), stem);
    files.push_back(written.back() + fmt::format(" and {} .vtp files it names", written.size() - 1));
  }
  say_written(files, terminal);
  return kDone;
}
#else
int run_export(const ExportWords& w, const Terminal&) {
  throw base::UserError(
      "this program was built without pictures, so nothing can be exported of " + w.study_path,
      "build with LEVERWRIGHT_VIZ=ON");
}
#endif

}  // namespace leverwright::app

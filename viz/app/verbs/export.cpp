// export: a stored stroke for other programs.
#include "viz/exports/export.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "sim/base/error.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path, stroke = "mf", set_up;
  std::vector<std::string> kinds;  // empty: all
  double every = 1;                // ms
};

int export_stroke(const Request& r, VerbRun& run) {
  if (!(r.every >= 0.01 && r.every <= 1000))
    throw base::UserError("--every is out of range", "between 0.01 and 1000 ms");
  need_sound_study(r.study_path);
  const auto stroke = study_file::read_stroke(study_file::StoredStudy(r.study_path), r.set_up, r.stroke);
  run.open(std::filesystem::path(r.study_path).replace_extension("").string() + "_export");
  const auto wanted = [&](const char* kind) {
    return r.kinds.empty() || std::find(r.kinds.begin(), r.kinds.end(), kind) != r.kinds.end();
  };
  const std::string stem = "stroke_" + file_word(r.stroke);
  const auto write = [&](const std::string& ending, const std::string& text) {
    run.keep(run.file(stem + ending));
    write_text_file(run.file(stem + ending), text);
  };
  if (wanted("csv")) write(".csv", exports::write_stroke_csv(stroke));
  if (wanted("gltf")) write(".gltf", exports::write_gltf(stroke, 1e-3 * r.every));
  if (wanted("vtk")) {
    const auto written = exports::write_vtk(stroke, 1e-3 * r.every, run.folder(), stem);
    run.keep(written.back() + fmt::format(" and {} .vtp files it names", written.size() - 1));
  }
  return run.end();
}

}  // namespace

void add_export(App& app) {
  Verb& verb = app.add("export", "Write a stored stroke for other programs: CSV, VTK and glTF.",
                       {"export out/missed_heel/missed_heel.h5 --out exported",
                        "export study.h5 --stroke mf --set-up \"as found\" --kind gltf"});
  Request& r = verb.request(export_stroke);
  verb.add_study(r.study_path);
  verb.add_out("Write into FOLDER.", "STUDY_export");
  verb.add("--stroke", "NAME", "Take the stored stroke of this name.", &r.stroke, "mf");
  verb.add_set_up(r.set_up, "the base");
  verb.add("--kind", "KIND", "Write these: one or more.", &r.kinds, "all").one_of({"csv", "vtk", "gltf"});
  verb.add("--every", "MS", "Write a pose of the moving action every so many milliseconds.", &r.every, "1");
}

}  // namespace leverwright::app

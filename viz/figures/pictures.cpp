#include "viz/figures/pictures.h"

#include <exception>
#include <future>

#include "viz/figures/keyboard_figure.h"
#include "viz/figures/study_charts.h"

namespace leverwright::figures {

using Draw = Files(const study_file::StudyFigures&, const std::string&);
Draw draw_force_dip, draw_slide_path, draw_ledger, draw_strokes, draw_ratio, draw_changes, draw_phase,
    draw_energy, draw_parts, draw_action;

namespace {

// What only some studies hold is read from their file by the picture itself.
template <Files (*draw)(const std::string&, const std::string&)>
Files from_file(const study_file::StudyFigures& study, const std::string& folder) {
  return study.path.empty() ? Files{} : draw(study.path, folder);
}

}  // namespace

const std::vector<Picture>& all_pictures() {
  static const std::vector<Picture> kPictures = {{"force against dip", draw_force_dip},
                                                 {"slide path", draw_slide_path},
                                                 {"friction ledger", draw_ledger},
                                                 {"strokes", draw_strokes},
                                                 {"distance ratio", draw_ratio},
                                                 {"changes", draw_changes},
                                                 {"phase", draw_phase},
                                                 {"energy", draw_energy},
                                                 {"part overlays", draw_parts, true},
                                                 {"action to scale", draw_action, true},
                                                 {"repetition", from_file<draw_repetition>},
                                                 {"misadjustment", from_file<draw_misadjustment>},
                                                 {"keyboard", from_file<draw_keyboard>}};
  return kPictures;
}

Files draw_pictures(const std::vector<Picture>& pictures, const study_file::StudyFigures& study,
                    const std::string& folder) {
  constexpr std::size_t kSideBySide = 2;
  std::vector<Files> files(pictures.size());
  std::vector<std::exception_ptr> problems(pictures.size());
  const auto draw = [&](std::size_t k) {
    try {
      files[k] = pictures[k].draw(study, folder);
    } catch (...) {
      problems[k] = std::current_exception();
    }
  };
  std::vector<std::future<void>> charts;
  for (std::size_t first = 0; first < kSideBySide; ++first)
    charts.push_back(std::async(std::launch::async, [&, first] {
      for (std::size_t k = 0, of_charts = 0; k < pictures.size(); ++k)
        if (!pictures[k].needs_screen && of_charts++ % kSideBySide == first) draw(k);
    }));
  for (std::size_t k = 0; k < pictures.size(); ++k)
    if (pictures[k].needs_screen) draw(k);
  for (auto& c : charts) c.get();
  Files out;
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    if (problems[k]) std::rethrow_exception(problems[k]);
    out.insert(out.end(), files[k].begin(), files[k].end());
  }
  return out;
}

}  // namespace leverwright::figures

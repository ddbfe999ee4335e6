#include "viz/figures/draw_figures.h"

#include "viz/figures/read_study.h"

namespace leverwright::figures {

Files draw_study(const StudyFigures& study, const std::string& folder) {
  return draw_pictures(all_pictures(), study, folder);
}

Files draw_study(const std::string& results_path, const std::string& folder) {
  return draw_study(read_study(results_path), folder);
}

}  // namespace leverwright::figures

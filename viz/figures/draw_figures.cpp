#include "viz/figures/draw_figures.h"

namespace leverwright::figures {

Files draw_study(const study_file::StudyFigures& study, const std::string& folder) {
  return draw_pictures(all_pictures(), study, folder);
}

Files draw_study(const std::string& results_path, const std::string& folder) {
  return draw_study(study_file::read_curves(study_file::StoredStudy(results_path)), folder);
}

}  // namespace leverwright::figures

// Parts that differ between set-ups, one drawn over the other.
#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"
#include "viz/paper/paper.h"
#include "viz/scene/part_overlay.h"

namespace leverwright::figures {

Files draw_parts(const study_file::StudyFigures& study, const std::string& folder) {
  Files files;
  for (const std::vector<scene::SetUpMoment>& set_ups : study.action.moments) {
    if (set_ups.empty() || set_ups.front().moment.name != "half stroke") continue;
    for (size_t k = 1; k < set_ups.size(); ++k)
      for (const char* part : {"wippen", "hammer", "key"}) {
        if (find_part_difference(set_ups.front(), set_ups[k], part) < scene::kPartDifference) continue;
        const scene::Scene picture = build_part_overlay(set_ups.front(), set_ups[k], part, study.title);
        const std::string& name = set_ups[k].set_up.empty() ? set_ups[k].name : set_ups[k].set_up;
        const std::string stem = folder + "/parts_" + part + "_" + stem_word(name);
        const scene::Page page;
        files.push_back(paper::draw_png(picture, page, stem + ".png"));
        files.push_back(paper::draw_svg(picture, page, stem + ".svg"));
        files.push_back(paper::draw_pdf(picture, page, stem + ".pdf"));
      }
  }
  return files;
}

}  // namespace leverwright::figures

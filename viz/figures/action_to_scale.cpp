// The action to scale at rest, half stroke and let-off.
#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"
#include "viz/paper/paper.h"
#include "viz/scene/plate.h"
#include "viz/vtk/draw_png.h"

namespace leverwright::figures {

Files draw_action(const study_file::StudyFigures& study, const std::string& folder) {
  constexpr int kWidth = 1600;  // pixels
  Files files;
  const auto draw = [&](const scene::Scene& picture, const std::string& stem) {
    const scene::Page page;
    files.push_back(
        vtk::draw_png(picture, stem + ".png", kWidth, vtk::find_height(picture, kWidth, page), page));
    files.push_back(paper::draw_svg(picture, page, stem + ".svg"));
    files.push_back(paper::draw_pdf(picture, page, stem + ".pdf"));
  };
  if (!study.action.moments.empty() && !study.action.moments.front().empty()) {
    const scene::SetUpMoment& rest = study.action.moments.front().front();
    draw(scene::build_plate(rest.shape, rest.moment, titled(study.title, rest.name + ", at rest")),
         folder + "/action_plate");
  }
  for (const std::vector<scene::SetUpMoment>& set_ups : study.action.moments) {
    if (set_ups.empty()) continue;
    scene::ActionSceneOptions options;
    options.title = study.title + (study.title.empty() ? "" : ": ") + set_ups.front().name;
    options.trace_words = "N on the slide path";
    options.friction_times = 4;
    const scene::Scene picture = build_overlay_scene(set_ups, options);
    draw(picture, folder + "/action_" + stem_word(set_ups.front().moment.name));
  }
  return files;
}

}  // namespace leverwright::figures

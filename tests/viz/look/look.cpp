// Draws the invented action in every kind of picture into the folder given, for looking at.
#include <cstdio>

#include "sim/base/error.h"
#include "tests/viz/support/mock_action.h"
#include "viz/paper/paper.h"
#include "viz/vtk/draw_png.h"

using namespace leverwright;

int main(int argc, char** argv) {
  const std::string folder = argc > 1 ? argv[1] : ".";
  try {
    scene::ActionSceneOptions options;
    options.title = "invented action, as found";
    const auto shape = mock::invented_action();
    const auto scene = build_action_scene(shape, mock::invented_moment(5e-3, "half stroke"), options);
    std::puts(paper::draw_png(scene, {}, folder + "/action.png").c_str());
    std::puts(paper::draw_svg(scene, {}, folder + "/action.svg").c_str());
    std::puts(paper::draw_pdf(scene, {}, folder + "/action.pdf").c_str());
    std::vector<scene::SetUpMoment> set_ups;
    const std::vector<std::pair<std::string, mock::Variation>> all{{"as found", {}},
                                                                   {"heel build-up", {0, 0, 0.7e-3}},
                                                                   {"capstan relocated", {-3e-3, 0, 0}},
                                                                   {"capstan lean", {0, 0.07, 0}},
                                                                   {"heel cut and re-glued", {1e-3, 0, 0}},
                                                                   {"friction treatment only", {}}};
    for (const auto& [name, v] : all)
      set_ups.push_back({name, mock::invented_action(v), mock::invented_moment(5e-3, "half stroke", v)});
    const auto overlay = build_overlay_scene(set_ups, options);
    std::puts(paper::draw_png(overlay, {}, folder + "/overlay.png").c_str());
    std::puts(paper::draw_svg(overlay, {}, folder + "/overlay.svg").c_str());
    std::puts(vtk::draw_png(overlay, folder + "/overlay_vtk.png", 1400, vtk::find_height(overlay, 1400)).c_str());
    scene::Page full;
    full.scale = 1;
    std::puts(paper::draw_pdf(overlay, full, folder + "/overlay_full_size.pdf").c_str());
  } catch (const base::UserError& error) {
    std::fprintf(stderr, "%s", error.what());
    return 1;
  }
  return 0;
}

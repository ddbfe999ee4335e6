// Draws every kind of picture of an invented study into the folder given, for looking at.
#include <cstdio>

#include "sim/base/error.h"
#include "tests/viz/support/mock_study.h"
#include "viz/figures/draw_figures.h"
#include "viz/paper/paper.h"

using namespace leverwright;

int main(int argc, char** argv) {
  const std::string folder = argc > 1 ? argv[1] : ".";
  try {
    const study_file::StudyFigures study = mock::invented_study();
    for (const std::string& path : figures::draw_study(study, folder)) std::puts(path.c_str());
    scene::ActionSceneOptions options;
    options.title = "invented action, full size";
    const auto& first = study.action.moments[1][0];
    const scene::Scene plain = build_action_scene(first.shape, first.moment, options);
    scene::Page page;
    page.scale = 1;
    std::puts(paper::draw_pdf(plain, page, folder + "/full_size.pdf").c_str());
    page = {};
    page.grey = true;
    std::puts(paper::draw_png(plain, page, folder + "/grey.png").c_str());
  } catch (const base::UserError& error) {
    std::fprintf(stderr, "%s", error.what());
    return 1;
  }
  return 0;
}

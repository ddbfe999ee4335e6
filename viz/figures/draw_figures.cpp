#include "viz/figures/draw_figures.h"

#include <algorithm>
#include <exception>
#include <filesystem>
#include <future>

#include "sim/base/error.h"
#include "viz/figures/keyboard_figure.h"
#include "viz/figures/read_study.h"
#include "viz/figures/study_charts.h"
#include "viz/paper/paper.h"
#include "viz/scene/part_overlay.h"
#include "viz/vtk/draw_png.h"

namespace leverwright::figures {
namespace {

void append(Files* to, const Files& more) { to->insert(to->end(), more.begin(), more.end()); }

std::string file_word(const std::string& text) {  // "let-off" -> "let_off"
  std::string out;
  for (const char c : text)
    out += (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c
           : c >= 'A' && c <= 'Z'                           ? static_cast<char>(c - 'A' + 'a')
                                                            : '_';
  return out;
}

}  // namespace

Files draw_force_dip(const std::string& title, const std::vector<ForceDipCurve>& curves,
                     const std::string& folder) {
  return chart::draw_chart(build_force_dip(title, curves), folder + "/force_against_dip");
}

Files draw_slide_path(const std::string& title, const std::vector<SlidePath>& paths,
                      const std::string& folder) {
  return chart::draw_chart(build_slide_path(title, paths), folder + "/slide_path");
}

Files draw_ledger(const std::string& title, const std::vector<Ledger>& ledgers, const std::string& folder) {
  return chart::draw_chart(build_ledger(title, ledgers), folder + "/friction_ledger");
}

Files draw_strokes(const std::string& title, const std::vector<Stroke>& strokes, const std::string& folder) {
  const auto resets = [](const Stroke& s) {
    return std::any_of(s.events.begin(), s.events.end(),
                       [](const StrokeEvent& e) { return e.name == "jack reset"; });
  };
  std::vector<std::string> touches;
  for (const Stroke& s : strokes)
    if (std::find(touches.begin(), touches.end(), s.touch) == touches.end()) touches.push_back(s.touch);
  Files files;
  for (const std::string& touch : touches) {
    std::vector<Stroke> same;
    for (const Stroke& s : strokes)
      if (s.touch == touch) same.push_back(s);
    append(&files, chart::draw_chart(build_stroke(title, same, StrokePart::kBlow),
                                     folder + "/stroke_" + file_word(touch)));
    if (std::any_of(same.begin(), same.end(), resets))
      append(&files, chart::draw_chart(build_stroke(title, same, StrokePart::kReturn),
                                       folder + "/key_let_go_" + file_word(touch)));
  }
  return files;
}

Files draw_action(const std::string& title, const ActionPictures& pictures, const std::string& folder) {
  constexpr int kWidth = 1600;  // pixels
  Files files;
  for (const std::vector<scene::SetUpMoment>& set_ups : pictures.moments) {
    if (set_ups.empty()) continue;
    scene::ActionSceneOptions options;
    options.title = title + (title.empty() ? "" : ": ") + set_ups.front().name;
    options.trace_words = "N on the slide path";
    options.friction_times = 4;
    const scene::Scene picture = build_overlay_scene(set_ups, options);
    const std::string stem = folder + "/action_" + file_word(set_ups.front().moment.name);
    const scene::Page page;
    files.push_back(
        vtk::draw_png(picture, stem + ".png", kWidth, vtk::find_height(picture, kWidth, page), page));
    files.push_back(paper::draw_svg(picture, page, stem + ".svg"));
    files.push_back(paper::draw_pdf(picture, page, stem + ".pdf"));
  }
  return files;
}

Files draw_parts(const std::string& title, const ActionPictures& pictures, const std::string& folder) {
  Files files;
  for (const std::vector<scene::SetUpMoment>& set_ups : pictures.moments) {
    if (set_ups.empty() || set_ups.front().moment.name != "half stroke") continue;
    for (size_t k = 1; k < set_ups.size(); ++k)
      for (const char* part : {"wippen", "hammer", "key"}) {
        if (find_part_difference(set_ups.front(), set_ups[k], part) < scene::kPartDifference) continue;
        const scene::Scene picture = build_part_overlay(set_ups.front(), set_ups[k], part, title);
        const std::string stem = folder + "/parts_" + part + "_" + file_word(set_ups[k].name);
        const scene::Page page;
        files.push_back(paper::draw_png(picture, page, stem + ".png"));
        files.push_back(paper::draw_svg(picture, page, stem + ".svg"));
        files.push_back(paper::draw_pdf(picture, page, stem + ".pdf"));
      }
  }
  return files;
}

Files draw_study(const StudyFigures& study, const std::string& folder) {
  // Side by side: a program of its own draws the charts. The action alone needs OpenGL: without it the charts
  // are there all the same.
  auto charts = std::async(std::launch::async, [&] {
    Files files;
    if (!study.force_dip.empty()) append(&files, draw_force_dip(study.title, study.force_dip, folder));
    if (!study.slide_paths.empty()) append(&files, draw_slide_path(study.title, study.slide_paths, folder));
    if (!study.ledgers.empty()) append(&files, draw_ledger(study.title, study.ledgers, folder));
    append(&files, draw_strokes(study.title, study.strokes, folder));
    return files;
  });
  auto more = std::async(std::launch::async, [&] { return draw_more(study, folder); });
  Files action;
  std::exception_ptr problem;
  try {
    action = draw_parts(study.title, study.action, folder);
    append(&action, draw_action(study.title, study.action, folder));
  } catch (...) {
    problem = std::current_exception();
  }
  Files files = charts.get();
  append(&files, more.get());
  if (problem) std::rethrow_exception(problem);
  append(&files, action);
  return files;
}

Files draw_study(const std::string& results_path, const std::string& folder) {
  Files files = draw_study(read_study(results_path), folder);
  append(&files, draw_repetition(results_path, folder));
  append(&files, draw_misadjustment(results_path, folder));
  append(&files, draw_keyboard(results_path, folder));
  return files;
}

}  // namespace leverwright::figures

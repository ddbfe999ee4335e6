// draw: the pictures of a stored study.
#include <fmt/format.h>

#include <filesystem>

#include "sim/store/study_reader.h"
#include "viz/app/has_pictures.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path;
};

int draw(const Request& r, VerbRun& run) {
  need_sound_study(r.study_path);  // a file that is no study is refused before a folder is made
  const store::StudyReader study(r.study_path);
  if (!has_pictures()) figures::draw_study(r.study_path, "");  // says so
  run.open(std::filesystem::path(r.study_path).replace_extension("").string());
  run.keep(figures::draw_study(r.study_path, run.folder()));
  if (study.status() != "complete")
    run.say(fmt::format("The study is {}: {}", study.status(), study.reason()));
  return run.end();
}

}  // namespace

void add_draw(App& app) {
  Verb& verb = app.add("draw", "Draw the pictures of a stored study.",
                       {"draw out/missed_heel/missed_heel.h5 --out pictures"});
  Request& r = verb.request(draw);
  verb.add_study(r.study_path);
  verb.add_out("Draw into FOLDER.", "one named like the study");
  verb.outputs.charts = true;
}

}  // namespace leverwright::app

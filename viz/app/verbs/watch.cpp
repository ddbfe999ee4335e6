// watch: a stored stroke in a window, turned, played, scrubbed.
#include <fmt/format.h>

#include <algorithm>

#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/app/words.h"
#include "viz/film/film.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path, set_up, ghost, stroke = "mf";
  double slow = 50, close_after = 0;
};

int watch_stroke(const Request& r, VerbRun& run) {
  need_sound_study(r.study_path);
  if (!(r.slow >= 1 && r.slow <= 500))
    throw base::UserError("how slow must be 1 to 500 times", "write it like --slow 100");
  if (!(r.close_after >= 0 && r.close_after < 1e6))
    throw base::UserError("--close-after is a number of seconds, 0 or more");
  const study_file::StoredStudy study(r.study_path);
  film::FilmRequest request;
  request.strokes.push_back(study_file::read_stroke(study, r.set_up, r.stroke));
  request.title = request.strokes.front().label + ", " + r.stroke;
  if (!r.ghost.empty()) {
    request.strokes.push_back(study_file::read_stroke(study, r.ghost, r.stroke));
    request.title += "; ghost: " + request.strokes.back().label;
  }
  request.stroke = r.stroke;
  request.slow = r.slow;
  request.whole = true;
  const long shown = film::watch_strokes(request, r.close_after);
  run.say(fmt::format("{} pictures shown", shown));
  return run.end("");
}

}  // namespace

void add_watch(App& app) {
  Verb& verb = app.add("watch", "Open a window and watch a stored stroke: turn, zoom, play, scrub, step.",
                       {"watch out/missed_heel/missed_heel.h5 --stroke mf --ghost \"heel re-glued\""});
  Request& r = verb.request(watch_stroke);
  verb.add_study(r.study_path);
  verb.add("--stroke", "NAME", "Show the stored stroke of this name.", &r.stroke, "mf");
  verb.add_set_up(r.set_up, "the base");
  verb.add("--ghost", "NAME", "Show the edges of a second set-up over the first.", &r.ghost);
  verb.add("--slow", "TIMES", "Begin so many times slower than life, 1 to 500.", &r.slow, "50");
  verb.add("--close-after", "SECONDS", "Close the window by itself after so long.", &r.close_after, "never");
}

}  // namespace leverwright::app

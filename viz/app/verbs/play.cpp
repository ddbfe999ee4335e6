// play: strokes of a finger, a record or a weight.
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <variant>

#include "models/case_file/quantity.h"
#include "models/playing/finger_touches.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/app/words.h"
#include "viz/figures/draw_figures.h"
#include "viz/table/notes.h"
#include "viz/table/touch_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  std::vector<std::string> touches;  // empty: all, or none where a record or a weight is given
  std::vector<std::string> how;      // "pressed", "struck", "finger"; empty: pressed
  std::string history, use;          // record to play ("": none); "force" or "dip"
  double cut_off = 0;                // of its smoothing, Hz; 0: the usual one
  std::string weight, from;          // dropped weight ("250 g"; "": none) and its height ("12 mm")
  bool prior_only = false;           // readings as found are compared, not leaned on
};

void check_words(const std::vector<std::string>& words, const std::vector<std::string>& known,
                 const char* what) {
  for (const auto& word : words)
    if (std::find(known.begin(), known.end(), word) == known.end())
      throw unknown_word("", fmt::format("unknown {} \"{}\"", what, word), word, known);
}

double read_option(const char* option, const std::string& text, case_file::Dimension dimension,
                   const std::string& range) {
  const auto result = case_file::read_quantity(text, dimension, "", range);
  if (const auto* fault = std::get_if<case_file::QuantityFault>(&result))
    throw base::UserError({base::Problem{"", 0, "", fmt::format("{} \"{}\": {}", option, text, fault->what),
                                         fault->expected, fault->advice}});
  return std::get<case_file::Quantity>(result).value;
}

void check_use(const Request& r) {
  const auto refuse = [](const char* what, const char* advice) {
    throw base::UserError({base::Problem{"", 0, "", what, "", advice}});
  };
  check_words(r.touches, study::known_touches(), "touch");
  check_words(r.how, {"pressed", "struck", "finger"}, "way to play");
  if (!r.use.empty()) check_words({r.use}, {"force", "dip"}, "column");
  if (r.history.empty() && (!r.use.empty() || r.cut_off > 0))
    refuse("--use and --cut-off belong to a record", "give the record with --history FILE");
  if (r.weight.empty() != r.from.empty())
    refuse("a dropped weight needs both --weight and --from", "such as --weight \"250 g\" --from \"12 mm\"");
}

int play(const Request& r, VerbRun& run) {
  check_use(r);
  // All that can be wrong with what was given comes before any work.
  const auto d = read_conditioned(r.case_path, r.prior_only, run.terminal());
  std::optional<playing::RecordedHistory> record;
  if (!r.history.empty()) record = playing::read_history(r.history, r.use);
  double mass = 0, height = 0;
  if (!r.weight.empty()) {
    mass = read_option("--weight", r.weight, case_file::Dimension::kMass, "1 to 5000 g");
    height = read_option("--from", r.from, case_file::Dimension::kLength, "0 to 500 mm");
  }
  run.open();
  const std::string path = run.has_folder() ? run.file(case_name(r.case_path) + "_played.h5") : "";
  if (run.has_folder()) base::check_output(path, true);

  const bool only_other = r.touches.empty() && (record || mass > 0);
  const std::vector<std::string> touches = only_other          ? std::vector<std::string>{}
                                           : r.touches.empty() ? study::known_touches()
                                                               : r.touches;
  const auto asked = [&](const char* how) {
    return std::find(r.how.begin(), r.how.end(), how) != r.how.end();
  };
  const bool pressed = r.how.empty() || asked("pressed");
  auto s = solve_one(d, r.set_up, pressed ? touches : std::vector<std::string>{}, run.terminal());
  if (!s.weighing.ok) throw without_use(r.case_path, s, "played");
  std::size_t done = 0;
  const std::size_t count = touches.size() * (std::size_t{asked("struck")} + std::size_t{asked("finger")}) +
                            std::size_t{record.has_value()} + std::size_t{mass > 0};
  const auto tell = [&](const std::string& touch, double share) {
    run.report("touches", touch, (static_cast<double>(done) + share) / static_cast<double>(count));
  };
  const auto keep = [&](study::PlayedTouch t) {
    s.touches.push_back(std::move(t));
    ++done;
  };
  for (const bool struck : {true, false})
    for (const auto& touch : touches)
      if (asked(struck ? "struck" : "finger") && !run.stop_asked())
        keep(playing::play_finger_touch(d, s, touch, struck, tell));
  if (record && !run.stop_asked())
    keep(playing::play_record(s, *record, playing::smooth(*record, r.cut_off), tell));
  if (mass > 0 && !run.stop_asked()) keep(playing::play_weight(s, mass, height, tell));

  const bool stopped = run.stop_asked();
  if (run.has_folder()) {
    run.clear_progress();
    study::StudyFile file(only_set_up(d, find_set_up(d, r.set_up)), path);
    file.add(s);
    if (stopped)
      file.stop("interrupted by the user");
    else
      file.finish({});
    run.keep(path);
  }
  run.write(
      [&] { return table::write_touches(s.name, s.touches, run.look()) + table::write_notes(d, run.look()); },
      [&] { return table::write_touches_json(s.name, s.touches); },
      [&] { return table::write_touches_csv(s.name, s.touches); });
  run.draw([&] { return figures::draw_study(path, run.folder()); });
  return run.end(stopped ? "strokes not played yet are left out." : "");
}

}  // namespace

void add_play(App& app) {
  Verb& verb = app.add(
      "play", "Play strokes of a finger, a record or a weight: what happens when, and what goes wrong.",
      {"play cases/missed_heel/case.toml --set-up \"as found\" --touch p mf f",
       "play my_piano.toml --touch mf f --how struck --out out/struck",
       "play my_piano.toml --history stroke.csv --cut-off 120",
       "play my_piano.toml --weight \"250 g\" --from \"12 mm\""});
  Request& r = verb.request(play);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add("--touch", "TOUCH", "Play pp, p, mf, f, ff: one or more.", &r.touches,
           "all, or none where something else is played");
  verb.add(
      "--how", "WAY",
      "Play each pressed (a bare force), struck (a finger from above) or by finger (the same finger from "
      "the key's surface): one or more.",
      &r.how, "pressed");
  verb.add("--history", "FILE",
           "Play a record: CSV with the columns time and force or dip, or FILE.h5:/group.", &r.history)
      .read();
  verb.add("--use", "COLUMN", "Take force or dip, where the record has both.", &r.use);
  verb.add("--cut-off", "HZ", "Smooth the record above this frequency.", &r.cut_off,
           "300 for force, 100 for dip")
      .between(5, 2000);
  verb.add("--weight", "MASS", "Drop this weight on the key, such as \"250 g\".", &r.weight);
  verb.add("--from", "HEIGHT", "Let it fall from this height above the key, such as \"12 mm\".", &r.from);
  verb.add_set_up(r.set_up, "the base");
  verb.add_out("Write a results file and pictures into FOLDER.", "none");
  verb.add_pictures();
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app

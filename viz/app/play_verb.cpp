#include <fmt/format.h>

#include <algorithm>
#include <variant>

#include "models/case/nearest.h"
#include "models/case/quantity.h"
#include "models/case/read_case.h"
#include "models/study/finger_touches.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/touch_table.h"

namespace leverwright::app {

namespace {

void check_words(const std::vector<std::string>& words, const std::vector<std::string>& known,
                 const char* what, const char* expected) {
  for (const auto& word : words) {
    if (std::find(known.begin(), known.end(), word) != known.end()) continue;
    const std::string near = case_file::nearest_word(word, known);
    throw base::UserError({base::Problem{"", 0, "", fmt::format("unknown {} \"{}\"", what, word), expected,
                                         near.empty() ? "" : fmt::format("did you mean \"{}\"?", near)}});
  }
}

double read_option(const char* option, const std::string& text, case_file::Dimension dimension,
                   const std::string& range) {
  const auto result = case_file::read_quantity(text, dimension, "", range);
  if (const auto* fault = std::get_if<case_file::QuantityFault>(&result))
    throw base::UserError({base::Problem{"", 0, "", fmt::format("{} \"{}\": {}", option, text, fault->what),
                                         fault->expected, fault->advice}});
  return std::get<case_file::Quantity>(result).value;
}

void say_wrong_use(const PlayRequest& r) {
  const auto refuse = [](const char* what, const char* advice) {
    throw base::UserError({base::Problem{"", 0, "", what, "", advice}});
  };
  check_number_files(r.json, r.csv, r.out);
  if (r.history.empty() && (!r.use.empty() || r.cut_off > 0))
    refuse("--use and --cut-off belong to a record", "give the record with --history FILE");
  if (r.weight.empty() != r.from.empty())
    refuse("a dropped weight needs both --weight and --from", "such as --weight \"250 g\" --from \"12 mm\"");
}

}  // namespace

int run_play(const PlayRequest& r, const Terminal& terminal) {
  const auto& known = study::known_touches();
  check_words(r.touches, known, "touch", "pp, p, mf, f or ff");
  check_words(r.how, {"pressed", "struck", "finger"}, "way to play", "pressed, struck or finger");
  if (!r.use.empty()) check_words({r.use}, {"force", "dip"}, "column", "force or dip");
  say_wrong_use(r);
  // All that can be wrong with what was given comes before any work.
  const auto d = case_file::read_case(r.case_path);
  std::optional<study::RecordedHistory> record;
  if (!r.history.empty()) record = study::read_history(r.history, r.use);
  double mass = 0, height = 0;
  if (!r.weight.empty()) {
    mass = read_option("--weight", r.weight, case_file::Dimension::kMass, "1 to 5000 g");
    height = read_option("--from", r.from, case_file::Dimension::kLength, "0 to 500 mm");
  }
  std::optional<OutputFolder> folder;
  if (!r.out.empty()) {
    check_drawing_tools();
    folder.emplace(r.out);
    base::check_output(folder->file(case_name(r.case_path) + "_played.h5"), true);
  }

  const bool only_other = r.touches.empty() && (record || mass > 0);
  const std::vector<std::string> touches = only_other          ? std::vector<std::string>{}
                                           : r.touches.empty() ? known
                                                               : r.touches;
  const auto asked = [&](const char* how) {
    return std::find(r.how.begin(), r.how.end(), how) != r.how.end();
  };
  const bool pressed = r.how.empty() || asked("pressed");
  if (folder) catch_interrupts();
  auto s = solve_one(d, r.set_up, pressed ? touches : std::vector<std::string>{}, terminal);
  if (!s.weighing.ok)
    throw base::UserError("\"" + s.name + "\" cannot be played. " + s.verdict,
                          "see: leverwright regulate " + r.case_path);
  {
    Progress progress(terminal);
    std::size_t done = 0;
    const std::size_t count = touches.size() * (std::size_t{asked("struck")} + std::size_t{asked("finger")}) +
                              std::size_t{record.has_value()} + std::size_t{mass > 0};
    const auto tell = [&](const std::string& touch, double share) {
      progress.report("touches", touch, (static_cast<double>(done) + share) / static_cast<double>(count));
    };
    const auto keep = [&](study::PlayedTouch t) {
      s.touches.push_back(std::move(t));
      ++done;
    };
    for (const bool struck : {true, false})
      for (const auto& touch : touches)
        if (asked(struck ? "struck" : "finger") && !interrupted())
          keep(study::play_finger_touch(d, s, touch, struck, tell));
    if (record && !interrupted())
      keep(study::play_record(s, *record, study::smooth(*record, r.cut_off), tell));
    if (mass > 0 && !interrupted()) keep(study::play_weight(s, mass, height, tell));
  }
  const bool stopped = interrupted();
  std::vector<std::string> written;
  if (!r.json.empty()) write_text_file(r.json, table::write_touches_json(s.name, s.touches));
  if (!r.csv.empty()) write_text_file(r.csv, table::write_touches_csv(s.name, s.touches));
  for (const std::string& text : {r.json, r.csv})
    if (!text.empty() && text != "-") written.push_back(text);
  if (r.json != "-" && r.csv != "-") write_result(table::write_touches(s.name, s.touches, terminal.look));
  if (folder) {
    const std::string path = folder->file(case_name(r.case_path) + "_played.h5");
    study::StudyFile file(only_set_up(d, find_set_up(d, r.set_up)), path);
    file.add(s);
    if (stopped)
      file.stop("interrupted by the user");
    else
      file.finish({});
    written.push_back(path);
    if (!stopped) {
      const auto pictures = draw_pictures(path, folder->path());
      written.insert(written.end(), pictures.begin(), pictures.end());
    }
  }
  if (!written.empty()) say_written(written, terminal);
  return stopped ? kStopped : kDone;
}

}  // namespace leverwright::app

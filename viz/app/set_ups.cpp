#include "viz/app/set_ups.h"

#include <fmt/format.h>

#include <utility>

#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "viz/app/interrupt.h"
#include "viz/app/words.h"

namespace leverwright::app {

std::size_t find_set_up(const case_file::CaseDescription& d, const std::string& name) {
  if (name.empty()) return 0;
  std::vector<std::string> names;
  for (std::size_t k = 0; k < d.set_ups.size(); ++k) {
    if (d.set_ups[k].name == name) return k;
    names.push_back(d.set_ups[k].name);
  }
  throw unknown_word(d.path, fmt::format("there is no set-up \"{}\" in this case", name), name, names,
                     "--set-up");
}

case_file::CaseDescription only_set_up(const case_file::CaseDescription& d, std::size_t index) {
  case_file::CaseDescription out = d;
  out.set_ups = {d.set_ups.front()};
  if (index > 0) out.set_ups.push_back(d.set_ups[index]);
  return out;
}

base::UserError without_answer(const case_file::SetUp& set_up, const study::SetUpResult& s,
                               const std::string& who) {
  std::vector<base::Problem> problems;
  const auto& place = set_up.place;
  for (const auto& f : s.regulated.failures)
    problems.push_back({place.file, place.line, place.line_text,
                        fmt::format("{}\"{}\" cannot be regulated: {}", who, s.name, f.requirement), "",
                        f.advice});
  if (problems.empty())
    problems.push_back({place.file, place.line, place.line_text,
                        fmt::format("{}\"{}\" cannot be weighed: {}", who, s.name, s.weighing.failure), "",
                        "look at the measurements of this case with: leverwright read"});
  return base::UserError(problems);
}

base::UserError without_use(const std::string& case_path, const study::SetUpResult& s,
                            const std::string& what) {
  return base::UserError("\"" + s.name + "\" cannot be " + what + ". " + s.verdict,
                         "see: leverwright regulate " + case_path);
}

base::UserError without_any_use(const std::string& case_path) {
  return base::UserError("no set-up of this case can be played", "see: leverwright regulate " + case_path);
}

study::SetUpResult solve_one(const case_file::CaseDescription& d, const std::string& set_up,
                             const std::vector<std::string>& touches, const Terminal& terminal) {
  const std::size_t index = find_set_up(d, set_up);
  Progress progress(terminal);
  study::CompareOptions options;
  options.uncertainty = false;
  options.touches = touches;
  options.first_played = index > 0 ? 1 : 0;
  options.progress = [&](const study::Progress& p) {
    progress.report("set-up", p.doing, p.share);
    return true;
  };
  return std::move(study::compare(only_set_up(d, index), options).set_ups.back());
}

study::Comparison regulate_set_ups(const case_file::CaseDescription& d, VerbRun& run, bool judged) {
  study::CompareOptions options;
  options.uncertainty = judged;
  options.progress = [&](const study::Progress& p) { return run.report("regulating", p.doing, p.share); };
  return study::compare(d, options);
}

void need_sound_study(const std::string& path) {
  const store::StudyReader study(path);
  if (study.status() == "running") return;  // cut off: what it holds is drawn as far as it goes
  const auto problems = store::check_study(path);
  if (!problems.empty()) throw base::UserError(problems);
}

}  // namespace leverwright::app

// draw, check and cautions, and what several verbs share.
#include <fmt/format.h>

#include <filesystem>

#include "models/case/nearest.h"
#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/cautions.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/draw_figures.h"
#endif

namespace leverwright::app {

std::size_t find_set_up(const case_file::CaseDescription& d, const std::string& name) {
  if (name.empty()) return 0;
  std::vector<std::string> names;
  for (std::size_t k = 0; k < d.set_ups.size(); ++k) {
    if (d.set_ups[k].name == name) return k;
    names.push_back(d.set_ups[k].name);
  }
  const std::string near = case_file::nearest_word(name, names);
  std::string all;
  for (const auto& n : names) all += (all.empty() ? "\"" : ", \"") + n + "\"";
  throw base::UserError({base::Problem{
      d.path, 0, "", fmt::format("there is no set-up \"{}\" in this case", name), "one of " + all,
      near.empty() ? "" : fmt::format("did you mean --set-up \"{}\"?", near)}});
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

study::Comparison regulate_set_ups(const case_file::CaseDescription& d, Progress& progress) {
  study::CompareOptions options;
  options.uncertainty = false;
  options.progress = [&](const study::Progress& p) {
    progress.report("regulating", p.doing, p.share);
    return !interrupted();
  };
  return study::compare(d, options);
}

void say_written(const std::vector<std::string>& files, const Terminal& terminal) {
  say(terminal, files.size() == 1 ? "Written:" : fmt::format("Written, {} files:", files.size()));
  for (const auto& f : files) say(terminal, "  " + f);
}

void need_sound_study(const std::string& path) {
  const store::StudyReader study(path);
  if (study.status() == "running") return;  // cut off: what it holds is drawn as far as it goes
  const auto problems = store::check_study(path);
  if (!problems.empty()) throw base::UserError(problems);
}

std::vector<std::string> draw_pictures(const std::string& study_path, const std::string& folder) {
#ifdef LEVERWRIGHT_HAS_PICTURES
  return figures::draw_study(study_path, folder);
#else
  static_cast<void>(folder);
  throw base::UserError("this program was built without pictures, so " + study_path + " cannot be drawn",
                        "build with LEVERWRIGHT_VIZ=ON, or compare with --no-pictures");
#endif
}

int run_draw(const std::string& study_path, const std::string& out, const Terminal& terminal) {
  need_sound_study(study_path);  // a file that is no study is refused before a folder is made
  check_drawing_tools();
  const store::StudyReader study(study_path);
  const OutputFolder folder(out.empty() ? std::filesystem::path(study_path).replace_extension("").string()
                                        : out);
  const auto files = draw_pictures(study_path, folder.path());
  if (study.status() != "complete")
    say(terminal, fmt::format("The study is {}: {}", study.status(), study.reason()));
  say_written(files, terminal);
  return kDone;
}

int run_check(const std::string& study_path, const Terminal& terminal) {
  const auto problems = store::check_study(study_path);
  if (!problems.empty()) throw base::UserError(problems);
  const store::StudyReader study(study_path);
  std::string out = fmt::format("{}: keeps the standard, {}, written by leverwright {}\n", study_path,
                                study.status(), study.header().software_version);
  if (!study.reason().empty()) out += "  reason: " + study.reason() + "\n";
  for (const auto& s : study.set_ups())
    out += fmt::format("  {}  {}: {}{}\n", s.path, s.name, s.status, s.reason.empty() ? "" : ", " + s.reason);
  write_result(out);
  static_cast<void>(terminal);
  return kDone;
}

int run_cautions(const Terminal& terminal) {
  write_result(table::write_cautions(table::all_cautions(), terminal.look));
  return kDone;
}

}  // namespace leverwright::app

// check: a results file held against its written standard.
#include <fmt/format.h>

#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "viz/app/verb_run.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path;
};

int check(const Request& r, VerbRun& run) {
  const auto problems = store::check_study(r.study_path);
  if (!problems.empty()) throw base::UserError(problems);
  const store::StudyReader study(r.study_path);
  std::string out = fmt::format("{}: keeps the standard, {}, written by leverwright {}\n", r.study_path,
                                study.status(), study.header().software_version);
  if (!study.reason().empty()) out += "  reason: " + study.reason() + "\n";
  for (const auto& s : study.set_ups())
    out += fmt::format("  {}  {}: {}{}\n", s.path, s.name, s.status, s.reason.empty() ? "" : ", " + s.reason);
  run.write([&] { return out; });
  return run.end();
}

}  // namespace

void add_check(App& app) {
  Verb& verb = app.add("check", "Hold a results file against its written standard.",
                       {"check out/missed_heel/missed_heel.h5"});
  Request& r = verb.request(check);
  verb.add_study(r.study_path);
}

}  // namespace leverwright::app

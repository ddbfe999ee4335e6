#include "sim/base/error.h"

#include <fmt/format.h>

namespace leverwright::base {

std::string write_problems(const std::vector<Problem>& problems) {
  std::string out;
  for (const Problem& p : problems) {
    if (p.file.empty())
      out += fmt::format("error: {}\n", p.what);
    else if (p.line > 0)
      out += fmt::format("{}:{}: error: {}\n", p.file, p.line, p.what);
    else
      out += fmt::format("{}: error: {}\n", p.file, p.what);
    if (!p.line_text.empty()) out += fmt::format("    {} | {}\n", p.line, p.line_text);
    if (!p.expected.empty()) out += fmt::format("    expected: {}\n", p.expected);
    if (!p.advice.empty()) out += fmt::format("    do this:  {}\n", p.advice);
  }
  return out;
}

UserError::UserError(std::vector<Problem> problems)
    : problems_(std::move(problems)), text_(write_problems(problems_)) {}

UserError::UserError(const std::string& what, const std::string& advice)
    : UserError(std::vector<Problem>{Problem{"", 0, "", what, "", advice}}) {}

Unstable::Unstable(std::string culprit_in, double time_in, std::string last_event_in, std::string why_in)
    : std::runtime_error(fmt::format("stopped at {:.6g} s: {} ({}; last event: {})", time_in, why_in,
                                     culprit_in, last_event_in.empty() ? "none" : last_event_in)),
      culprit(std::move(culprit_in)),
      time_s(time_in),
      last_event(std::move(last_event_in)),
      why(std::move(why_in)) {}

}  // namespace leverwright::base

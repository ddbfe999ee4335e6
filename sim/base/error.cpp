#include "sim/base/error.h"

#include <fmt/format.h>

#include "sim/base/shown_text.h"

namespace leverwright::base {

namespace {
// What a person reads of a message; more is a key of a megabyte.
constexpr std::size_t kLongestLine = 160, kLongestText = 1200;  // bytes
}  // namespace

std::string write_problems(const std::vector<Problem>& problems) {
  std::string out;
  std::size_t shown = 0;
  for (const Problem& p : problems) {
    if (shown++ == kMostProblems) {
      out += fmt::format("error: and {} more problems of this run\n", problems.size() - kMostProblems);
      break;
    }
    const std::string file = shown_line(p.file, kLongestText), what = shown_line(p.what, kLongestText);
    if (p.file.empty())
      out += fmt::format("error: {}\n", what);
    else if (p.line > 0)
      out += fmt::format("{}:{}: error: {}\n", file, p.line, what);
    else
      out += fmt::format("{}: error: {}\n", file, what);
    if (!p.line_text.empty())
      out += fmt::format("    {} | {}\n", p.line, shown_line(p.line_text, kLongestLine));
    if (!p.expected.empty()) out += fmt::format("    expected: {}\n", shown_line(p.expected, kLongestText));
    if (!p.advice.empty()) out += fmt::format("    do this:  {}\n", shown_line(p.advice, kLongestText));
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

#include "viz/app/progress.h"

#include <fmt/format.h>

#include <algorithm>

namespace leverwright::app {

namespace {
constexpr double kWorthShowing = 2.0;  // s of work
constexpr double kEvery = 0.2;         // s between two lines on a terminal
constexpr double kEveryInFile = 2.0;   // s between two lines where they stay
}  // namespace

Progress::Progress(const Terminal& terminal) : terminal_(terminal), begun_(Clock::now()), last_(begun_) {}

void Progress::report(const std::string& work, const std::string& doing, double share) {
  if (terminal_.quiet || !(terminal_.talk_is_terminal || terminal_.asked_for_progress)) return;
  const auto now = Clock::now();
  const bool first = work != work_;
  if (first) {
    work_ = work;
    begun_ = now;
    share_ = 0;
  }
  share = share_ = std::max(share_, share);  // a guess of the whole may be set right on the way
  const auto seconds = [](Clock::duration d) { return std::chrono::duration<double>(d).count(); };
  const double elapsed = seconds(now - begun_);
  const double whole = share > 0 ? elapsed / share : 0;
  const bool on_line = terminal_.talk_is_terminal;
  const bool due = seconds(now - last_) >= (on_line ? kEvery : kEveryInFile);
  if (!on_line ? !(first || due) : !(due && (shown_ || whole > kWorthShowing))) return;
  last_ = now;
  std::string line = fmt::format("{}: {:.0f} %", doing, 100 * share);
  if (elapsed > 0.5 && share > 0.02 && share < 1) line += fmt::format(", {:.0f} s left", whole - elapsed);
  if (on_line) {
    write_error(fmt::format("\r{:<{}}", line, std::max(20, terminal_.look.width - 1)));
    shown_ = true;
  } else {
    write_error(line + "\n");
  }
}

void Progress::clear() {
  if (!shown_) return;
  write_error(fmt::format("\r{:<{}}\r", "", std::max(20, terminal_.look.width - 1)));
  shown_ = false;
}

}  // namespace leverwright::app

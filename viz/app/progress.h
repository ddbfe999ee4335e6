// Progress with the time left, on standard error: only on a terminal or when asked for, and only for work
// that takes more than two seconds.
#pragma once
#include <chrono>
#include <string>

#include "viz/app/terminal.h"

namespace leverwright::app {

class Progress {
 public:
  explicit Progress(const Terminal& terminal);
  ~Progress() { clear(); }
  // `share` of this piece of work, 0 to 1; another `work` starts the clock again.
  void report(const std::string& work, const std::string& doing, double share);
  void clear();  // takes the line off the terminal

 private:
  using Clock = std::chrono::steady_clock;
  const Terminal& terminal_;
  std::string work_;
  Clock::time_point begun_, last_;
  double share_ = 0;
  bool shown_ = false;
};

}  // namespace leverwright::app

// Running one job for each of many, side by side, with progress and a way to stop. Results go into places of
// their own, so that they do not depend on the number of threads.
#pragma once
#include <functional>
#include <string>

namespace leverwright::keyboard {

class Work {
 public:
  Work(std::function<bool(const std::string&, double)> progress, int jobs_in_all)
      : progress_(std::move(progress)), all_(jobs_in_all) {}
  // do_one(k) for k from 0 to count - 1; jobs not begun when a stop is asked for are left out. Rethrows the
  // first exception of a job.
  void run(const std::string& doing, std::size_t count, const std::function<void(std::size_t)>& do_one);
  bool stopped() const { return stopped_; }
  void expect_more(int jobs) { all_ += jobs; }

 private:
  std::function<bool(const std::string&, double)> progress_;
  int all_ = 1, done_ = 0;
  bool stopped_ = false;
};

}  // namespace leverwright::keyboard

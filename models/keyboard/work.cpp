#include "models/keyboard/work.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>

namespace leverwright::keyboard {

void Work::run(const std::string& doing, std::size_t count, const std::function<void(std::size_t)>& do_one) {
  std::atomic<bool> stop{stopped_};
  std::mutex talk;
  std::exception_ptr problem;
  tbb::parallel_for(
      tbb::blocked_range<std::size_t>(0, count, 1),
      [&](const tbb::blocked_range<std::size_t>& some) {
        for (std::size_t k = some.begin(); k != some.end() && !stop; ++k) {
          try {
            do_one(k);
          } catch (...) {
            const std::lock_guard<std::mutex> lock(talk);
            if (!problem) problem = std::current_exception();
            stop = true;
            return;
          }
          const std::lock_guard<std::mutex> lock(talk);
          ++done_;
          if (progress_ && !progress_(doing, std::min(1.0, static_cast<double>(done_) / all_))) stop = true;
        }
      },
      tbb::simple_partitioner());
  stopped_ = stop;
  if (problem) std::rethrow_exception(problem);
}

}  // namespace leverwright::keyboard

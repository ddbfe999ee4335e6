// See blocked_range.h.
#pragma once

namespace tbb {

class task_arena {
 public:
  explicit task_arena(int = 1) {}
  template <class Work>
  auto execute(const Work& work) {
    return work();
  }
};

}  // namespace tbb

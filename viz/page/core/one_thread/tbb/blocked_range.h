// Stands in for oneTBB where there is one thread alone, a browser's worker: what is asked to run in parallel runs in a
// row. As everywhere in this project nothing may depend on the order, the answers are the same.
#pragma once

namespace tbb {

template <class Index>
class blocked_range {
 public:
  blocked_range(Index begin, Index end, Index = 1) : begin_(begin), end_(end) {}
  Index begin() const { return begin_; }
  Index end() const { return end_; }

 private:
  Index begin_, end_;
};

struct simple_partitioner {};

}  // namespace tbb

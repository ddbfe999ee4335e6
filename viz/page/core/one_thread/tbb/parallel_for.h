// See blocked_range.h.
#pragma once
#include <tbb/blocked_range.h>

namespace tbb {

template <class Index, class Work>
void parallel_for(Index from, Index to, const Work& work) {
  for (Index k = from; k < to; ++k) work(k);
}

template <class Index, class Work>
void parallel_for(const blocked_range<Index>& range, const Work& work, simple_partitioner = {}) {
  work(range);
}

}  // namespace tbb

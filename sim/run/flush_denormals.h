// Denormal numbers cost fifty times a normal operation; while this lives they count as zero.
#pragma once
#if defined(__SSE2__)
#include <xmmintrin.h>
#endif

namespace leverwright::run {

class FlushDenormals {
 public:
#if defined(__SSE2__)
  FlushDenormals() : before_(_mm_getcsr()) { _mm_setcsr(before_ | kFlushAndZero); }
  ~FlushDenormals() { _mm_setcsr(before_); }

 private:
  static constexpr unsigned kFlushAndZero = 0x8040;
  unsigned before_;
#else
  FlushDenormals() = default;
#endif
 public:
  FlushDenormals(const FlushDenormals&) = delete;
  FlushDenormals& operator=(const FlushDenormals&) = delete;
};

}  // namespace leverwright::run

// The entry of a fuzzer; LEVERWRIGHT_FEED names the reader's function.
#include <pthread.h>
#include <sanitizer/common_interface_defs.h>

#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "tests/fuzz/feed.h"

// The library of results files loses some bytes of its own over damaged ones.
extern "C" const char* __lsan_default_suppressions() { return "leak:libhdf5"; }

// A trial's process (sim/store/trial_read.h) may break down over a file, that is what it is for: only what happens in
// this one is found.
extern "C" int LLVMFuzzerInitialize(int*, char***) {
  return pthread_atfork(nullptr, nullptr, [] { __sanitizer_set_death_callback(nullptr); });
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::clock_t begun = std::clock();
  const int result = leverwright::fuzz::LEVERWRIGHT_FEED(data, size);
  // Of processor time, sanitized: a tenth of it without, and the clock says little on a machine that has more to do.
  constexpr int kMostSeconds = 5;
  if (std::clock() - begun > kMostSeconds * CLOCKS_PER_SEC) {
    std::fprintf(stderr, "a file took more than %d s\n", kMostSeconds);
    std::abort();
  }
  return result;
}

// The entry of a fuzzer; LEVERWRIGHT_FEED names the reader's function.
#include "tests/fuzz/feed.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return leverwright::fuzz::LEVERWRIGHT_FEED(data, size);
}

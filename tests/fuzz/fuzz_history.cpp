// A record of a stroke, read and smoothed.
#include "models/study/recorded_history.h"
#include "tests/fuzz/given_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leverwright;
  const std::string path = fuzz::given_file(".csv", data, size);
  return fuzz::expect_answer_or_words([&] { study::smooth(study::read_history(path)); });
}

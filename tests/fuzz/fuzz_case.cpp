// A case file, with its searches.
#include "models/remedies/read_case.h"
#include "models/study/read_seek.h"
#include "tests/fuzz/given_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace leverwright;
  const std::string path = fuzz::given_file(".toml", data, size);
  return fuzz::expect_answer_or_words([&] { study::read_seeks(remedies::read_case(path)); });
}

// A case file, with its searches.
#include "models/remedies/read_case.h"
#include "models/search/read_seek.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_case(const std::uint8_t* data, std::size_t size) {
  const std::string path = given_file(".toml", data, size);
  return expect_answer_or_words([&] { search::read_seeks(remedies::read_case(path)); });
}

}  // namespace leverwright::fuzz

// A record of a stroke, read and smoothed.
#include "models/playing/recorded_history.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_history(const std::uint8_t* data, std::size_t size) {
  const std::string path = given_file(".csv", data, size);
  return expect_answer_or_words([&] { playing::smooth(playing::read_history(path)); });
}

}  // namespace leverwright::fuzz

// A part file of one's own, as `parts` reads it; the first byte chooses the slot.
#include "models/case_file/library.h"
#include "models/case_file/read_case.h"
#include "models/remedies/part.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_part(const std::uint8_t* data, std::size_t size) {
  static const char* const kSlots[] = {"key", "capstan", "wippen", "hammer", "frame"};
  if (size == 0) return 0;
  const std::string path = given_file(".toml", data + 1, size - 1);
  return expect_answer_or_words(
      [&] { remedies::read_part_change(case_file::default_models_directory(), kSlots[data[0] % 5], path); });
}

}  // namespace leverwright::fuzz

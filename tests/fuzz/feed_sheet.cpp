// A filled bench sheet, and the case made of it.
#include "models/remedies/read_case.h"
#include "models/workshop/filled_sheet.h"
#include "models/workshop/sheet_to_case.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_sheet(const std::uint8_t* data, std::size_t size) {
  static const auto base = remedies::read_case(workshop::blank_case_path());
  const std::string path = given_file(".csv", data, size);
  return expect_answer_or_words([&] {
    const auto sheet = workshop::read_filled_sheet(path);
    for (std::size_t n = 0; n < sheet.notes.size() && n < 3; ++n) workshop::write_case_text(sheet, n, base);
    workshop::write_notes_file(sheet, base.set_ups.front().name);
  });
}

}  // namespace leverwright::fuzz

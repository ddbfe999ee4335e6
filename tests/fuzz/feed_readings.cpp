// Readings on sample notes, for calibrate and afterwards (first byte even) and for the keyboard (odd).
#include "models/calibrate/measurements.h"
#include "models/keyboard/keyboard_case.h"
#include "models/keyboard/read_samples.h"
#include "models/remedies/read_case.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_readings(const std::uint8_t* data, std::size_t size) {
  static const auto base =
      remedies::read_case(LEVERWRIGHT_SOURCE_DIR "/cases/calibrate_sample_notes/case.toml");
  if (size == 0) return 0;
  const std::string path = given_file(".csv", data + 1, size - 1);
  return expect_answer_or_words([&] {
    if (data[0] % 2 == 0) {
      calibrate::read_measurements(path, base);
      return;
    }
    keyboard::KeyboardCase to;
    case_file::ProblemList problems;
    keyboard::read_samples(base, path, to, problems);
    if (!problems.empty()) throw base::UserError(problems.sorted());
  });
}

}  // namespace leverwright::fuzz

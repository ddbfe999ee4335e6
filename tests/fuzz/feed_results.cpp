// A results file, held against its standard and read as pictures and reports read it. HDF5 itself is kept in
// the trial's process (sim/store/trial_read.h), so what counts here is that this process lives on.
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/fuzz/feed.h"
#include "tests/fuzz/given_file.h"

namespace leverwright::fuzz {

int feed_results(const std::uint8_t* data, std::size_t size) {
  const std::string path = given_file(".h5", data, size);
  return expect_answer_or_words([&] {
    store::check_study(path);
    const store::StudyReader study(path);
    study.header();
    for (const auto& s : study.set_ups()) {
      study.read_numbers(s.path + "/numbers");
      study.read_table(s.path + "/screws");
      study.read_series(s.path + "/statics/down/force");
    }
  });
}

}  // namespace leverwright::fuzz

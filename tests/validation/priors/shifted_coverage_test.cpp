// The short run of tests/validation/experiments/shifted_coverage_experiment.cpp: on pianos whose frictions are
// not what the defaults expect, what `keyboard` says of notes that nobody weighed holds, and says more than the
// shipped ranges do.
#include <gtest/gtest.h>

#include "tests/validation/experiments/shifted_pianos.h"

namespace leverwright::validation {
namespace {

constexpr std::uint64_t kSeed = 7;

TEST(ShiftedCoverage, BandsOfNotesThatNobodyWeighedHold) {
  constexpr int kPianos = 8;
  const case_file::CaseDescription shipped = shipped_case();
  const keyboard::Effects effects = effects_of(shipped);
  std::map<std::string, Tally> leaned, prior;
  for (int k = 0; k < kPianos; ++k) {
    const ShiftedPiano piano(shipped, kSeed, k);
    ASSERT_TRUE(add_keyboard(shipped, effects, piano, k, false, leaned)) << k;
    ASSERT_TRUE(add_keyboard(shipped, effects, piano, k, true, prior)) << k;
  }
  for (const char* what : {"down weight", "up weight", "balance weight", "friction"}) {
    const Tally& t = leaned[what];
    ASSERT_EQ(t.count, 2 * kPianos) << what;
    // With a true share of 90 % one run in 60 has fewer.
    EXPECT_GE(t.inside, 12) << what;
    EXPECT_LT(t.width, prior[what].width) << what << ": readings narrow the band";
    EXPECT_GT(t.width / t.count, 2.5) << what << ": but a note that was not weighed keeps its scatter";
  }
  EXPECT_LT(leaned["friction"].off, 0.8 * prior["friction"].off);
  const Tally& weighed = leaned["friction, on a note that was weighed"];
  EXPECT_GE(weighed.inside, kPianos - 2);
  EXPECT_LT(weighed.width / weighed.count, 0.8 * leaned["friction"].width / leaned["friction"].count);
}

// A weighed note keeps what was read as far as the reading is surer than its neighbours: without reading
// errors it is reproduced, and its band is gone.
TEST(ShiftedCoverage, ANoteReadWithoutErrorIsReproduced) {
  const case_file::CaseDescription shipped = shipped_case();
  const ShiftedPiano piano(shipped, kSeed, 1);
  keyboard::Keyboard k = on_sheet(*read_sheet(piano, {9, 57}));
  const case_file::CaseDescription truth = piano.note(57);
  const study::Measures weighed = ShiftedPiano::weigh(truth);
  for (keyboard::SampleColumn& c : k.input.columns)
    for (keyboard::Sample& s : c.samples)
      if (s.note == 57) {
        if (c.key == "measured.down_weight") s = {57, weighed[study::kDownWeight], 1e-4 * kGf};
        if (c.key == "measured.up_weight") s = {57, weighed[study::kUpWeight], 1e-4 * kGf};
      }
  k = on_sheet(k.input);
  keyboard::Work work({}, 1);
  const keyboard::Effects effects = effects_of(shipped).on(shipped, k);
  const keyboard::Lean lean = keyboard::lean_on_samples(shipped, k, effects, false, work);
  ASSERT_TRUE(lean.leaned);
  const study::Measures told =
      ShiftedPiano::weigh(keyboard::describe_note(lean.values, k.input, k.carried, 57));
  EXPECT_NEAR(told[study::kDownWeight] + lean.own[56].shift[0], weighed[study::kDownWeight], 0.01 * kGf);
  EXPECT_NEAR(told[study::kUpWeight] + lean.own[56].shift[1], weighed[study::kUpWeight], 0.01 * kGf);
  const keyboard::Bands bands = keyboard::find_bands(effects, lean);
  EXPECT_LT(bands.total[56][study::kFriction], 0.02 * kGf);
  EXPECT_GT(bands.total[55][study::kFriction], 0.5 * kGf) << "its neighbour was not weighed";
}

}  // namespace
}  // namespace leverwright::validation

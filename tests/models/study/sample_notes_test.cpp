#include "models/study/sample_notes.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::study {
namespace {

TEST(SampleNotes, AgreeWithPublishedSampleSizes) {
  // Paired t test, two-sided 5 %, power 80 %: effect 0.2, 0.5, 0.8 of a standard deviation need 199, 34, 15
  // pairs ([@cohen1988], ch. 2, as commonly tabulated; from memory).
  EXPECT_EQ(notes_needed(0.2, 1, 0, Scatter::kFromTheNotes), 199);
  EXPECT_EQ(notes_needed(0.5, 1, 0, Scatter::kFromTheNotes), 34);
  EXPECT_EQ(notes_needed(0.8, 1, 0, Scatter::kFromTheNotes), 15);
}

TEST(SampleNotes, FollowTheClosedFormWhenTheScatterIsKnown) {
  const double z = 1.959964 + 0.841621;
  EXPECT_EQ(notes_needed(0.5, 1, 0, Scatter::kKnown), static_cast<int>(std::ceil(z * z / 0.25)));
  EXPECT_EQ(notes_needed(5, 1, 0, Scatter::kKnown), 1);
  // With a common part: z^2 s^2 / (delta^2 - z^2 u^2).
  EXPECT_EQ(notes_needed(1, 1, 0.3, Scatter::kKnown),
            static_cast<int>(std::ceil(z * z / (1 - z * z * 0.09))));
}

TEST(SampleNotes, NoNumberRemovesWhatAllNotesShare) {
  const double z = 1.959964 + 0.841621;
  EXPECT_EQ(notes_needed(1, 0.01, 1.001 / z, Scatter::kKnown), 0);
  EXPECT_GT(notes_needed(1, 0.01, 0.999 / z, Scatter::kKnown), 0);
  EXPECT_EQ(notes_needed(0, 1, 0, Scatter::kKnown), 0);
  EXPECT_EQ(notes_needed(1, 1, 0.36, Scatter::kFromTheNotes), 0);
}

TEST(SampleNotes, SmallerDifferencesAndWiderScatterNeedMore) {
  int last = 0;
  for (const double delta : {3.0, 1.5, 0.9, 0.4}) {
    const int n = notes_needed(delta, 1, 0.1, Scatter::kFromTheNotes);
    EXPECT_GT(n, last);
    EXPECT_GE(n, notes_needed(delta, 1, 0.1, Scatter::kKnown));
    last = n;
  }
  EXPECT_GT(notes_needed(1, 2, 0, Scatter::kKnown), notes_needed(1, 1, 0, Scatter::kKnown));
}

}  // namespace
}  // namespace leverwright::study

#include "models/keyboard/layout.h"

#include <gtest/gtest.h>

namespace leverwright::keyboard {
namespace {

TEST(Layout, HasFiftyTwoNaturalsAndThirtySixSharps) {
  int sharps = 0;
  for (int note = kFirstNote; note <= kLastNote; ++note) sharps += is_sharp(note);
  EXPECT_EQ(sharps, 36);
  // Sharps never stand side by side, and naturals do at E-F and B-C alone: fifteen times on 88 keys.
  int pairs = 0;
  for (int note = kFirstNote; note < kLastNote; ++note) {
    EXPECT_FALSE(is_sharp(note) && is_sharp(note + 1)) << note;
    pairs += !is_sharp(note) && !is_sharp(note + 1);
  }
  EXPECT_EQ(pairs, 15);
}

TEST(Layout, NamesAreThoseOfThePiano) {
  EXPECT_EQ(note_name(1), "A0");
  EXPECT_EQ(note_name(4), "C1");
  EXPECT_EQ(note_name(40), "C4");
  EXPECT_EQ(note_name(41), "C#4");
  EXPECT_EQ(note_name(49), "A4");
  EXPECT_EQ(note_name(88), "C8");
}

TEST(Layout, ReadsNumbersAndNames) {
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    EXPECT_EQ(read_note(note_name(note)), note);
    EXPECT_EQ(read_note(std::to_string(note)), note);
  }
  EXPECT_EQ(read_note("f#5"), 58);
  for (const char* wrong : {"", "0", "89", "H4", "C9", "E#4", "4C", "-3", "C", "1e1", "C#44"})
    EXPECT_FALSE(read_note(wrong)) << wrong;
}

}  // namespace
}  // namespace leverwright::keyboard

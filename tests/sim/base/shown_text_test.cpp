// Text that reaches a terminal cannot steer it, and a message stays short whatever a file holds.
#include "sim/base/shown_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "sim/base/error.h"

namespace leverwright::base {
namespace {

TEST(ShownText, KeepsWordsLineBreaksAndTabs) {
  for (const char* text :
       {"down weight", "Taste \u00fc\u00df\n\tTaste", "12 \u00b1 1\r\nnext", "\U0001f3b9", ""}) {
    EXPECT_EQ(shown_text(text), text);
    EXPECT_EQ(find_control(text), std::string_view::npos) << text;
  }
}

TEST(ShownText, WritesOutWhatSteersATerminal) {
  EXPECT_EQ(shown_text("a\x1b[2Jb"), "a\\x1b[2Jb");
  EXPECT_EQ(shown_text("a\rb"), "a\\x0db");
  EXPECT_EQ(shown_text(std::string_view("a\0b", 3)), "a\\x00b");
  EXPECT_EQ(shown_text("\xc2\x9b"
                       "31m"),
            "\\x9b31m");  // C1: a terminal's one-letter escape
  EXPECT_EQ(shown_text("\u202e"
                       "gpj.exe"),
            "\\u202egpj.exe");  // direction turned round
  EXPECT_EQ(shown_text("\x7f"), "\\x7f");
}

TEST(ShownText, WritesOutWhatIsNoUtf8) {
  EXPECT_EQ(shown_text("\xff"), "\\xff");
  EXPECT_EQ(shown_text("a\xc3"), "a\\xc3");                  // cut short
  EXPECT_EQ(shown_text("\xc0\x9b"), "\\xc0\\x9b");           // a longer way to write a control character
  EXPECT_EQ(shown_text("\xed\xa0\x80"), "\\xed\\xa0\\x80");  // half of a pair
}

TEST(ShownText, ALongLineIsCutBetweenLetters) {
  EXPECT_EQ(shown_line("\u00fc\u00fc\u00fc", 3), "\u00fc ...");
  EXPECT_EQ(shown_line("a\nb\tc", 10), "a b c");
}

RC_GTEST_PROP(ShownTextProperty, NothingThatSteersIsLeft, (const std::string& text)) {
  const std::string shown = shown_text(text);
  RC_ASSERT(find_control(shown) == std::string_view::npos);
  RC_ASSERT(shown_text(shown) == shown);
}

TEST(Problems, AreShownTwentyAtATimeAndThenCounted) {
  const std::vector<Problem> many(300'000, Problem{"a.csv", 7, "x", "no number", "a number", ""});
  const std::string text = write_problems(many);
  EXPECT_NE(text.find("and 299980 more problems"), std::string::npos);
  EXPECT_LT(text.size(), 3000u);
}

TEST(Problems, AreShortWhateverAFileHolds) {
  const std::string key(3'000'000, 'k');
  const std::string text =
      write_problems({Problem{"a\x1b.toml", 1, key + " = 1", "unknown key " + key, "", ""}});
  EXPECT_LT(text.size(), 2000u);
  EXPECT_EQ(find_control(text), std::string_view::npos);
}

}  // namespace
}  // namespace leverwright::base

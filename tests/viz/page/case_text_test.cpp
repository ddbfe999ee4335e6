#include "viz/page/core/case_text.h"

#include <gtest/gtest.h>

#include "sim/base/error.h"

namespace leverwright::page {
namespace {

const std::string kText = R"(# above all
title = "three"  # beside

[[set_up]]
name = "base"
# between two
[[set_up]]
name = "moved"   # a word
description = "it \"was\" so"
[[set_up.change]]
kind = "capstan moved"
distance = "3 mm +- 0.2 mm"  # drilled
direction = "toward the strings"

# before the targets
[targets]
friction = "12 gf"
)";

TEST(CaseText, FindsSetUpsWithTheirLines) {
  const auto s = read_set_up_texts(kText, "a.toml");
  ASSERT_EQ(s.size(), 2u);
  EXPECT_EQ(s[0].from, 4);
  EXPECT_EQ(s[0].to, 5);
  EXPECT_EQ(s[1].name, "moved");
  EXPECT_EQ(s[1].description, "it \"was\" so");
  EXPECT_EQ(s[1].from, 7);
  EXPECT_EQ(s[1].to, 13);
  ASSERT_EQ(s[1].changes.size(), 1u);
  EXPECT_EQ(s[1].changes[0].arguments[0].second, "3 mm +- 0.2 mm");
}

TEST(CaseText, WhatSaysTheSameStaysToTheLetter) {
  EXPECT_EQ(put_set_ups(kText, "a.toml", read_set_up_texts(kText, "a.toml")), kText);
}

TEST(CaseText, AnEditedSetUpTakesItsPlaceAndAllElseStays) {
  auto s = read_set_up_texts(kText, "a.toml");
  s[1].changes[0].arguments[0].second = "2 mm";
  SetUpText more;
  more.name = "a \"trial\"";
  more.changes = {{"lead", {{"mass", "14 g"}, {"distance", "110 mm"}}}};
  s.push_back(more);
  const std::string out = put_set_ups(kText, "a.toml", s);
  EXPECT_NE(out.find("distance = \"2 mm\"\ndirection"), std::string::npos) << out;
  for (const char* kept : {"# above all\ntitle = \"three\"  # beside\n", "# between two\n",
                           "\n# before the targets\n[targets]\nfriction = \"12 gf\"\n"})
    EXPECT_NE(out.find(kept), std::string::npos) << kept << " in\n" << out;
  const auto again = read_set_up_texts(out, "a.toml");
  ASSERT_EQ(again.size(), 3u);
  EXPECT_TRUE(again[1].says_the_same(s[1]));
  EXPECT_TRUE(again[2].says_the_same(more));
}

TEST(CaseText, OneTakenOutIsGoneAndNothingElse) {
  auto s = read_set_up_texts(kText, "a.toml");
  s.erase(s.begin() + 1);
  const std::string out = put_set_ups(kText, "a.toml", s);
  EXPECT_EQ(out.find("moved"), std::string::npos);
  EXPECT_NE(out.find("# between two\n"), std::string::npos);
  EXPECT_NE(out.find("# before the targets\n"), std::string::npos);
}

TEST(CaseText, WhatIsNoTomlIsTold) {
  EXPECT_THROW(read_set_up_texts("[[set_up]\nname = 3", "a.toml"), base::UserError);
}

}  // namespace
}  // namespace leverwright::page

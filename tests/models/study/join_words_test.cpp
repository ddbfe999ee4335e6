#include "models/study/join_words.h"

#include <gtest/gtest.h>

namespace leverwright::study {
namespace {

TEST(JoinWords, HasCommasAndOneAnd) {
  EXPECT_EQ(join_words({}), "");
  EXPECT_EQ(join_words({"dip"}), "dip");
  EXPECT_EQ(join_words({"dip", "blow"}), "dip and blow");
  EXPECT_EQ(join_words({"dip", "blow", "aftertouch"}), "dip, blow and aftertouch");
}

}  // namespace
}  // namespace leverwright::study

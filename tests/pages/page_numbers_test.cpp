#include "tests/pages/page_numbers.h"

#include <gtest/gtest.h>

namespace leverwright::pages {
namespace {

const Json& invented() {
  static const Json j = Json::parse(R"({"set_ups": [
    {"name": "as found", "numbers": [
      {"group": "measure", "key": "down_weight", "name": "down weight", "value": 52.61, "sigma": 3.0,
       "change": null, "sigma_of_change": null},
      {"group": "touch mf", "key": "hammer_speed", "name": "hammer speed", "value": 2.02, "sigma": null,
       "change": null, "sigma_of_change": null}]},
    {"name": "moved", "numbers": [
      {"group": "measure", "key": "down_weight", "name": "down weight", "value": 49.3, "sigma": 3.1,
       "change": -3.31, "sigma_of_change": 0.62}]}],
    "answers": [{"what": "a shim", "amounts": [3.62, 0.01], "words": "thin"}]})");
  return j;
}

std::string fill(const std::string& text) {
  std::vector<std::string> problems;
  const std::string out = fill_template(text, invented(), problems);
  for (const auto& p : problems) ADD_FAILURE() << p;
  return out;
}

TEST(PageNumbers, AreFilledIn) {
  EXPECT_EQ(fill("| {[as found:down_weight]|.1} gf |\n"), "| 52.6 gf |\n");
  EXPECT_EQ(fill("{[moved:down_weight]|change .1}\n"), "-3.3 +- 0.6\n");
  EXPECT_EQ(
      fill(
          "{[as found:down_weight] - [moved:down_weight]|+.2}, {[as found:touch mf/hammer_speed] * 10|.0}\n"),
      "+3.31, 20\n");
  EXPECT_EQ(fill("{[min:down_weight]|.0} to {[max:down_weight]|.0}\n"), "49 to 53\n");
  EXPECT_EQ(fill("{[/answers/a shim/amounts/0]|.1} mm, {[/answers/0/words]|words}\n"), "3.6 mm, thin\n");
  EXPECT_EQ(fill("{[/answers/0/amounts/1] * -1|+.1}\n"), "0.0\n") << "nothing is never minus nothing";
}

TEST(PageNumbers, AStatementIsHeldAgainstThem) {
  std::vector<std::string> problems;
  EXPECT_EQ(fill_template("holds: [moved:down_weight] < [as found:down_weight] and 50 > 49\nx\n", invented(),
                          problems),
            "x\n");
  EXPECT_TRUE(problems.empty());
  fill_template("holds: [moved:down_weight] > 50\n", invented(), problems);
  ASSERT_EQ(problems.size(), 1u);
}

TEST(PageNumbers, ABlockIsMadeAfreshAndTheRestStays) {
  const std::string page =
      "before\n<!-- numbers: compare x\nD {[as found:down_weight]|.1}\n-->\nD 99.9\n<!-- numbers end "
      "-->\nafter\n";
  std::vector<std::string> problems;
  const auto answer = [](const std::string& command) -> const Json& {
    EXPECT_EQ(command, "compare x");
    return invented();
  };
  const std::string once = renew_page(page, answer, problems);
  EXPECT_EQ(once.find("99.9"), std::string::npos);
  EXPECT_NE(once.find("-->\nD 52.6\n<!-- numbers end -->\nafter\n"), std::string::npos) << once;
  EXPECT_EQ(renew_page(once, answer, problems), once);
  EXPECT_TRUE(problems.empty());
  renew_page("<!-- numbers: compare x\n{[none:down_weight]|.1}\n-->\n<!-- numbers end -->\n", answer,
             problems);
  ASSERT_EQ(problems.size(), 1u);
}

TEST(PageNumbers, OwnRowsFollowAndOthersAreNamed) {
  const std::string rows =
      "[[expected]]\nset_up = \"moved\"\nquantity = \"down weight\"\nvalue = 60\ntolerance = 0.3\nfrom = "
      "\"own\"\n\n"
      "[[expected]]\nset_up = \"moved\"\nquantity = \"down weight\"\nlow = 50\nhigh = 55\nfrom = "
      "\"published: x\"\n";
  std::vector<std::string> problems;
  const std::string now = renew_expected(rows, invented(), problems);
  EXPECT_NE(now.find("value = 49.30\ntolerance"), std::string::npos) << now;
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_NE(problems[0].find("49.3, said 50 to 55"), std::string::npos) << problems[0];
}

}  // namespace
}  // namespace leverwright::pages

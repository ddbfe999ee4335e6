// try: a change said in words is worked out; kept, it stands at the end of the case and nothing else is touched.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

const char* const kWords = "capstan 3 mm toward the balance rail";

TEST(Try, SaysWhatCompareSaysOfTheSameChange) {
  ScratchFolder folder;
  const std::string path = folder.write("mine.toml", read_text("cases/missed_heel/case.toml"));
  const std::string json = folder.path("try.json"), other = folder.path("compare.json");
  const Ended tried = run({"try", path, kWords, "--no-uncertainty", "--json", json});
  ASSERT_EQ(tried.exit_code, 0) << tried.err;
  EXPECT_TRUE(has(tried.err, "Nothing is kept"));
  EXPECT_TRUE(has(tried.out, "NOT REVERSIBLE"));
  ASSERT_EQ(run({"compare", path, "--no-uncertainty", "--no-touches", "--no-pictures", "--out",
                 folder.path("o"), "--json", other})
                .exit_code,
            0);
  const auto numbers = [](const std::string& file, const std::string& name) {
    const nlohmann::json whole = nlohmann::json::parse(read_text(file));
    for (const auto& s : whole["set_ups"])
      if (s["name"] == name) return s["numbers"];
    return nlohmann::json();
  };
  const auto mine = numbers(json, kWords), theirs = numbers(other, "capstan relocated");
  ASSERT_FALSE(mine.empty());
  ASSERT_EQ(mine.size(), theirs.size());
  for (std::size_t k = 0; k < mine.size(); ++k)
    EXPECT_EQ(mine[k]["value"], theirs[k]["value"]) << mine[k]["key"];
  EXPECT_EQ(read_text(path), read_text("cases/missed_heel/case.toml"));
}

TEST(Try, KeepAppendsTheSetUpAndLeavesTheRest) {
  ScratchFolder folder;
  const std::string text = "# my own remark\n" + read_text("cases/missed_heel/case.toml");
  const std::string path = folder.write("mine.toml", text);
  const Ended kept = run({"try", path, "lead 14 g at 110 mm", "--keep", "--no-uncertainty"});
  ASSERT_EQ(kept.exit_code, 0) << kept.err;
  const std::string after = read_text(path);
  EXPECT_EQ(after.compare(0, text.size(), text), 0);
  EXPECT_TRUE(has(after.substr(text.size()), "kind = \"lead\"\nmass = \"14 g\"\ndistance = \"110 mm\"\n"));
  EXPECT_EQ(run({"read", path}).exit_code, 0);
  // A second time the name is taken: refused, the file as it was.
  const Ended again = run({"try", path, "lead 14 g at 110 mm", "--keep", "--no-uncertainty"});
  EXPECT_NE(again.exit_code, 0);
  EXPECT_TRUE(has(again.err, path)) << again.err;
  EXPECT_EQ(read_text(path), after);
}

TEST(Try, SaysWhatItDidNotUnderstand) {
  const Ended ended = run({"try", "cases/missed_heel/case.toml", "capstan 3 mm"});
  EXPECT_EQ(ended.exit_code, 1) << ended.err;
  EXPECT_TRUE(has(ended.err, "toward the balance rail")) << ended.err;
}

}  // namespace
}  // namespace leverwright::app_test

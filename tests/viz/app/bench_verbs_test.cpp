// sheet and order as a user runs them: files, output for programs, errors.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

constexpr const char* kWork = "cases/work_order/case.toml";

TEST(SheetVerb, PrintsForAnyActionAndReadsBack) {
  const ScratchFolder folder;
  const auto printed = run({"sheet", "--notes", "C4,G3", "--paper", "Letter", "--out", folder.path("sheet")});
  ASSERT_EQ(printed.exit_code, 0) << printed.err;
  EXPECT_TRUE(has(printed.err, "sheet.csv"));
  std::string csv = read_text(folder.path("sheet/sheet.csv"));
  ASSERT_TRUE(has(csv, "line, measurement, unit, C4, G3\n")) << csv;
  if (LEVERWRIGHT_PICTURES) {
    EXPECT_TRUE(has(read_text(folder.path("sheet/sheet.html")), "size: Letter"));
  }
  const auto put = [&](const std::string& line, const std::string& values) {
    const auto at = csv.find("\n" + line + ", ");
    ASSERT_NE(at, std::string::npos) << line;
    const auto end = csv.find(", , \n", at);
    ASSERT_NE(end, std::string::npos) << line;
    csv.replace(end, 5, ", " + values + "\n");
  };
  put("11", "112.8, ");
  put("61", "9.6, 9.9");
  put("81", "53, 54");
  const auto read =
      run({"sheet", "--read", folder.write("filled.csv", csv), "--out", folder.path("read"), "--json", "-"});
  ASSERT_EQ(read.exit_code, 0) << read.err;
  const auto json = nlohmann::json::parse(read.out);
  EXPECT_EQ(json["notes"].size(), 2u);
  EXPECT_GT(json["notes"][0]["left_open"].size(), 20u);
  const auto understood = run({"read", folder.path("read/case_G3.toml")});
  EXPECT_EQ(understood.exit_code, 0) << understood.err;
  EXPECT_TRUE(has(understood.out, "9.9 gf"));
  EXPECT_TRUE(has(read_text(folder.path("read/notes.csv")), "54 +- 1.5"));
}

TEST(SheetVerb, LeavesNothingWhenTheSheetIsWrong) {
  const ScratchFolder folder;
  const std::string bad =
      folder.write("bad.csv", "line, measurement, unit, C4\n11, spread, mm, 212\n82, up weight, gf, x\n");
  const auto said = run({"sheet", kWork, "--read", bad, "--out", folder.path("read")});
  EXPECT_EQ(said.exit_code, 1);
  EXPECT_TRUE(has(said.err, "bad.csv:2: error: line 11, spread")) << said.err;
  EXPECT_TRUE(has(said.err, "bad.csv:3: error: line 82, up weight")) << said.err;
  EXPECT_EQ(folder.names(), std::vector<std::string>{"bad.csv"});
  // Lengths that cannot be those of one action: found when the case is read again.
  const std::string apart =
      folder.write("apart.csv", "line, measurement, unit, C4\n41, heel contact, mm, 50\n");
  const auto contradiction = run({"sheet", kWork, "--read", apart, "--out", folder.path("read")});
  EXPECT_EQ(contradiction.exit_code, 1) << contradiction.err;
  EXPECT_TRUE(has(contradiction.err, "contradict")) << contradiction.err;
  EXPECT_EQ(folder.names().size(), 2u);
  EXPECT_EQ(run({"sheet", kWork, "--notes", "A,,B", "--out", folder.path("s")}).exit_code, 1);
  EXPECT_EQ(run({"sheet", kWork, "--notes", "A,B,C,D,E", "--out", folder.path("s")}).exit_code, 1);
  EXPECT_EQ(run({"sheet", kWork, "--paper", "A3"}).exit_code, 1);
}

TEST(OrderVerb, RefusesWithTheNearestName) {
  const auto near = run({"order", kWork, "capstan relocatd"});
  EXPECT_EQ(near.exit_code, 1);
  EXPECT_TRUE(has(near.err, "capstan relocated")) << near.err;
  const auto base = run({"order", kWork, "as found"});
  EXPECT_EQ(base.exit_code, 1);
  EXPECT_TRUE(has(base.err, "case.toml:")) << base.err;
  EXPECT_TRUE(has(base.err, "nothing to do")) << base.err;
  EXPECT_EQ(run({"order", kWork, "capstan relocated", "--notes", "nowhere.csv"}).exit_code, 1);
  for (const char* verb : {"sheet", "order"}) {
    const auto help = run({verb, "--help"});
    EXPECT_EQ(help.exit_code, 0);
    EXPECT_TRUE(has(help.out, "Example")) << verb;
  }
}

}  // namespace
}  // namespace leverwright::app_test

#include "models/case_file/sheet_text.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/support/scratch_folder.h"

namespace leverwright::case_file {
namespace {

TEST(SheetText, ASharpIsNoRemark) {
  EXPECT_EQ(without_remark("C#4, 52 # read twice"), "C#4, 52 ");
  EXPECT_EQ(without_remark("# all of it"), "");
  EXPECT_EQ(without_remark("\"wippen # 2\", 52 # read twice"), "\"wippen # 2\", 52 ");
  EXPECT_EQ(without_remark("52, 21#scale"), "52, 21");
}

TEST(SheetText, FieldsAreTrimmedAndQuotesKeepSeparators) {
  const std::vector<std::string> fields = {"C4", "as found, eased", "", "52"};
  EXPECT_EQ(split_fields("C4 , \"as found, eased\",\t, 52\r", ','), fields);
  EXPECT_EQ(split_fields("", ','), std::vector<std::string>{""});
  EXPECT_EQ(split_fields("1;2", ';').size(), 2u);
}

TEST(SheetText, AHeadingMayCarryAUnit) {
  EXPECT_EQ(split_heading(" strike_weight [ gf ] ").name, "strike_weight");
  EXPECT_EQ(split_heading(" strike_weight [ gf ] ").unit, "gf");
  EXPECT_EQ(split_heading("note").unit, "");
  EXPECT_EQ(split_heading("odd ] [").unit, "");
}

TEST(SheetText, ReadsLinesWithoutTheMarkOfASpreadsheet) {
  const support::ScratchFolder folder;
  const std::string path = folder.write("notes.csv", "\xEF\xBB\xBFnote\nC4\n");
  FileText file;
  ProblemList problems;
  ASSERT_TRUE(read_sheet_lines(path, "the sheet", "", file, problems));
  EXPECT_EQ(file.lines, (std::vector<std::string>{"note", "C4"}));
  EXPECT_TRUE(problems.empty());
}

// What no sheet of readings is: each with a reason, and at once, whatever it is.
TEST(SheetText, RefusesWhatIsNoSheet) {
  const support::ScratchFolder folder;
  const auto refusal = [&](const std::string& path) -> std::string {
    FileText file;
    ProblemList problems;
    if (read_sheet_lines(path, "the sheet", "", file, problems)) return "";
    const auto all = problems.sorted();
    return all.size() == 1 ? fmt::format("{}: {}", all[0].line, all[0].what) : "not one problem";
  };
  const auto of = [&](const std::string& text) { return refusal(folder.write("a.csv", text)); };
  EXPECT_NE(refusal("/dev/zero").find("no ordinary file"), std::string::npos);
  EXPECT_NE(refusal(folder.path()).find("this is a folder"), std::string::npos);
  EXPECT_NE(refusal(folder.path("none.csv")).find("no such file"), std::string::npos);
  EXPECT_NE(of("note\nC4\nE\x1b[2J4\n").find("3: there is a control character here (\\x1b)"),
            std::string::npos);
  EXPECT_NE(of("note\nF\xfcr\n").find("2: a character here is not UTF-8"), std::string::npos);
  EXPECT_NE(of(std::string("n\0o\0", 4)).find("saved as UTF-16"), std::string::npos);
  EXPECT_NE(of(std::string(kLargestSheet + 1, 'x')).find("too large"), std::string::npos);
  EXPECT_EQ(of("note,a\r\nC4,1\r\n"), "");
  EXPECT_EQ(of(""), "");
}

}  // namespace
}  // namespace leverwright::case_file

#include "models/case/sheet_text.h"

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
  ASSERT_TRUE(read_sheet_lines(path, file));
  EXPECT_EQ(file.lines, (std::vector<std::string>{"note", "C4"}));
  FileText none;
  EXPECT_FALSE(read_sheet_lines(folder.path(), none));
  EXPECT_FALSE(read_sheet_lines(path + ".gone", none));
}

}  // namespace
}  // namespace leverwright::case_file

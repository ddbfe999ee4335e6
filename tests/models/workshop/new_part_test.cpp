// A column "new wippen" of a filled sheet: two part files and a set-up, and nothing else that a sheet without it would
// not say.
#include "models/workshop/new_part.h"

#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::workshop {
namespace {

const char* const kFilled =
    "line, measurement, unit, C4, new wippen\n"
    "11, spread, mm, 112.6,\n"
    "43, lifting face near end, mm, 57, 58.5\n"
    "45, heel cloth, mm, 1.7, 2.1\n"
    "63, wippen weight, gf, 18.1, 17.4\n"
    "72, wippen centre, gf at 23 mm, 3, 1.5\n"
    "111, jack length, mm, 59.2, 58.8\n"
    "112, jack width, mm, 7.1,\n"
    "131, point 1, mm, 51 20, 52 20.5\n132, point 2, mm, 54 25, 55 25.5\n133, point 3, mm, 58 26.4, 59 26.9\n"
    "134, point 4, mm, 64 26.4, 65 26.9\n135, point 5, mm, 69 22, 70 22.5\n";

struct Made {
  FilledSheet sheet = read_filled_text(kFilled, "filled.csv");
  case_file::CaseDescription base = remedies::read_case(blank_case_path());
  PartFiles parts = write_part_files(sheet, 0, base);
};

TEST(NewPart, TwoPartFilesAndASetUpThatFitsTheNewOne) {
  const Made m;
  const support::ScratchFolder folder;
  folder.write(m.parts.old_name, m.parts.old_text);
  folder.write(m.parts.new_name, m.parts.new_text);
  const std::string path =
      folder.write("case.toml", write_case_text(m.sheet, 0, m.base).text + m.parts.set_up_text);
  const auto d = remedies::read_case(path);
  EXPECT_DOUBLE_EQ(d.value("wippen.lifting_face_start"), 57e-3);
  ASSERT_EQ(d.set_ups.size(), 2u);
  EXPECT_EQ(d.set_ups[1].name, "new wippen");
  const auto& change = d.set_ups[1].changes.at(0);
  EXPECT_DOUBLE_EQ(change.quantities.at("wippen.lifting_face_start").value, 58.5e-3);
  EXPECT_DOUBLE_EQ(change.quantities.at("wippen.jack_length").value, 58.8e-3);
  EXPECT_DOUBLE_EQ(change.quantities.at("wippen.jack_width").value, 7.1e-3);  // as the old one
  EXPECT_NEAR(change.quantities.at("wippen.weight").value, 17.4 * 9.80665e-3, 1e-12);
  EXPECT_EQ(change.point_lists.at("wippen.heel_profile").x.size(), 5u);
  EXPECT_NEAR(change.point_lists.at("wippen.heel_profile").y.front(), -20.5e-3, 1e-12);
  EXPECT_EQ(change.quantities.at("wippen.jack_length").source, "bench");
}

TEST(NewPart, TheOldPartIsTheNotesOwnColumn) {
  const Made m;
  EXPECT_NE(m.parts.old_text.find("jack_length = { value = \"59.2 mm\", source = \"bench\" }"),
            std::string::npos)
      << m.parts.old_text;
  EXPECT_NE(m.parts.old_text.find("weight = { value = \"18.1 gf\""), std::string::npos);
  // The old one's weight and friction do not pass for the new one's.
  EXPECT_EQ(m.parts.new_text.find("18.1 gf"), std::string::npos);
  EXPECT_EQ(m.parts.unmeasured, std::vector<std::string>{"jack, width"});
}

TEST(NewPart, WhatIsNotMeasuredOnThePartIsRefused) {
  EXPECT_THROW(
      read_filled_text("line, measurement, unit, C4, new wippen\n11, spread, mm, 112, 113\n", "f.csv"),
      base::UserError);
  const auto sheet =
      read_filled_text("line, measurement, unit, C4, new wippen\n11, spread, mm, 112,\n", "f.csv");
  EXPECT_THROW(write_part_files(sheet, 0, remedies::read_case(blank_case_path())), base::UserError);
}

TEST(NewPart, APartFileBesideTheCaseIsFoundByItsName) {
  const support::ScratchFolder folder;
  const Made m;
  const std::string path =
      folder.write("case.toml", write_case_text(m.sheet, 0, m.base).text + m.parts.set_up_text);
  try {
    remedies::read_case(path);
    FAIL() << "the part file is not there";
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("wippen_new.toml"), std::string::npos) << error.what();
  }
}

}  // namespace
}  // namespace leverwright::workshop

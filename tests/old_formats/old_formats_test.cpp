// A file of each format and version there has been is read for good; one from a newer version is refused by
// its number.
#include <gtest/gtest.h>

#include "models/calibrate/measurements.h"
#include "models/keyboard/keyboard_case.h"
#include "models/keyboard/read_samples.h"
#include "models/playing/recorded_history.h"
#include "models/remedies/part.h"
#include "models/remedies/read_case.h"
#include "models/workshop/filled_sheet.h"
#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"
#include "viz/table/jobs_table.h"

namespace leverwright {
namespace {

const std::string kFolder = "tests/old_formats/";

template <typename Read>
std::string refusal(const Read& read) {
  try {
    read();
  } catch (const base::UserError& error) {
    return error.what();
  }
  return "";
}

TEST(OldFormats, Case1) {
  const auto d = remedies::read_case(kFolder + "case_1.toml");
  EXPECT_GE(d.set_ups.size(), 2u);
  const support::ScratchFolder folder;
  const std::string text = support::read_text(kFolder + "case_1.toml");
  EXPECT_EQ(refusal([&] { remedies::read_case(folder.write("a.toml", "format = 1\n" + text)); }), "");
  const std::string newer =
      refusal([&] { remedies::read_case(folder.write("a.toml", "format = 2\n" + text)); });
  EXPECT_NE(newer.find("this case has format 2, from a newer leverwright"), std::string::npos) << newer;
  EXPECT_NE(refusal([&] { remedies::read_case(folder.write("a.toml", "format = \"1\"\n" + text)); }), "");
}

TEST(OldFormats, Part1) {
  const auto read = [](const std::string& path) { remedies::read_part_change("models", "capstan", path); };
  EXPECT_EQ(refusal([&] { read(kFolder + "part_1.toml"); }), "");
  const support::ScratchFolder folder;
  const std::string text = support::read_text(kFolder + "part_1.toml");
  EXPECT_EQ(refusal([&] { read(folder.write("a.toml", "format = 1\n" + text)); }), "");
  const std::string newer = refusal([&] { read(folder.write("a.toml", "format = 2\n" + text)); });
  EXPECT_NE(newer.find("format 2, from a newer leverwright"), std::string::npos) << newer;
  EXPECT_NE(refusal([&] { read(folder.write("a.toml", "format = 1.5\n" + text)); }), "");
}

TEST(OldFormats, Record1) {
  const auto record = playing::read_history(kFolder + "record_1.csv", "force");
  EXPECT_EQ(record.time.size(), 81u);
  const support::ScratchFolder folder;
  const std::string text = support::read_text(kFolder + "record_1.csv");
  EXPECT_EQ(refusal([&] { playing::read_history(folder.write("a.csv", "# format 1\n" + text), "force"); }),
            "");
  const std::string newer =
      refusal([&] { playing::read_history(folder.write("a.csv", "# format 2\n" + text), "force"); });
  EXPECT_NE(newer.find("a newer leverwright"), std::string::npos) << newer;
}

TEST(OldFormats, Sheets1) {
  const auto d = remedies::read_case(kFolder + "case_1.toml");
  EXPECT_EQ(workshop::read_filled_sheet(kFolder + "filled_sheet_1.csv").notes.size(), 3u);
  EXPECT_FALSE(calibrate::read_measurements(kFolder + "readings_1.csv", d).empty());
  keyboard::KeyboardCase keyboard;
  case_file::ProblemList problems;
  keyboard::read_samples(d, kFolder + "sample_notes_1.csv", keyboard, problems);
  EXPECT_TRUE(problems.empty());
  EXPECT_GE(keyboard.sampled.size(), 3u);
  const support::ScratchFolder folder;
  const std::string text = support::read_text(kFolder + "filled_sheet_1.csv");
  EXPECT_EQ(refusal([&] { workshop::read_filled_sheet(folder.write("a.csv", "# format 1\n" + text)); }), "");
  const std::string newer =
      refusal([&] { workshop::read_filled_sheet(folder.write("a.csv", "# format 2\n" + text)); });
  EXPECT_NE(newer.find("a newer leverwright"), std::string::npos) << newer;
}

// The record of a job, which `jobs` reads.
TEST(OldFormats, Afterwards1) {
  const support::ScratchFolder folder;
  std::string text = support::read_text(kFolder + "afterwards_1.json");
  folder.write("old.json", text);
  const std::string version = "\"format_version\": 1";
  const auto at = text.find(version);
  ASSERT_NE(at, std::string::npos);
  folder.write("newer.json", text.replace(at, version.size(), "\"format_version\": 2"));
  const auto read = table::read_jobs(folder.path());
  ASSERT_EQ(read.jobs.size(), 1u);
  EXPECT_GT(read.jobs.front().readings.size(), 10u);
  ASSERT_EQ(read.left_out.size(), 1u);
  EXPECT_NE(read.left_out.front().find("newer.json: written by a newer leverwright"), std::string::npos)
      << read.left_out.front();
}

TEST(OldFormats, Study1) {
  const auto problems = store::check_study(kFolder + "study_1.h5");
  EXPECT_TRUE(problems.empty()) << base::write_problems(problems);
  const store::StudyReader study(kFolder + "study_1.h5");
  ASSERT_EQ(study.set_ups().size(), 1u);
  EXPECT_GT(study.read_number("/set_ups/00/numbers", "down weight").value, 0.2);
}

}  // namespace
}  // namespace leverwright

// calibrate and afterwards as a person calls them. What they find is tested in
// tests/cases/sample_notes_test.cpp; these runs are whole studies and are left out where pictures are (the
// sanitizer build).
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

const std::string kNotes = "cases/calibrate_sample_notes/", kAfter = "cases/after_the_work/";

#if LEVERWRIGHT_PICTURES
TEST(CalibrateVerb, TableJsonAndPictureOfTheSameFit) {
  const ScratchFolder folder;
  const Ended e = run({"calibrate", kNotes + "case.toml", kNotes + "measurements.csv", "--out",
                       folder.path("out"), "--json", folder.path("fit.json")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const auto json = nlohmann::json::parse(read_text(folder.path("fit.json")));
  EXPECT_TRUE(json["settled"].get<bool>());
  EXPECT_LT(json["rms_after"].get<double>(), json["rms_before"].get<double>());
  bool lever = false;
  for (const auto& u : json["unknowns"]) {
    EXPECT_GT(u["sigma"].get<double>(), 0);
    EXPECT_LE(u["sigma"].get<double>(), u["before_sigma"].get<double>() * 1.001) << u["name"];
    lever = lever || (u["key"] == "contact.lever_knuckle.friction" && u["told"].get<double>() > 0.5);
  }
  EXPECT_TRUE(lever);
  EXPECT_TRUE(has(e.out, "lever on knuckle: friction"));
  EXPECT_TRUE(has(e.out, "[contact.lever_knuckle]")) << "what to put into the case";
  for (const char* ending : {".png", ".svg", ".pdf", ".csv"})
    EXPECT_TRUE(std::filesystem::exists(folder.path(std::string("out/residuals") + ending))) << ending;
  EXPECT_EQ(lines_of(read_text(folder.path("out/residuals.csv"))).size(), json["readings"].size() + 1);
}

TEST(AfterwardsVerb, SaysThatItDidNotComeTrueAndWhy) {
  const ScratchFolder folder;
  const Ended e = run({"afterwards", kAfter + "case.toml", kAfter + "measurements.csv", "--out",
                       folder.path("out"), "--json", folder.path("after.json")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const auto json = nlohmann::json::parse(read_text(folder.path("after.json")));
  EXPECT_FALSE(json["agrees"].get<bool>());
  EXPECT_TRUE(has(e.out, "capstan moved: distance")) << e.out;
  EXPECT_GE(folder.names().size(), 4u);
}
#endif

TEST(CalibrateVerb, SaysWhatIsWrongBeforeAnyWork) {
  const ScratchFolder folder;
  folder.write("bad.csv", "note, set_up, down_weight [gf]\nC4, as fond, 52\nE4, as found, fifty\n");
  for (const char* verb : {"calibrate", "afterwards"}) {
    const Ended e = run({verb, kNotes + "case.toml", folder.path("bad.csv"), "--out", folder.path("out")});
    EXPECT_EQ(e.exit_code, 1);
    EXPECT_TRUE(has(e.err, "bad.csv:2")) << e.err;
    EXPECT_TRUE(has(e.err, "bad.csv:3")) << e.err;
    EXPECT_FALSE(std::filesystem::exists(folder.path("out")));
    EXPECT_EQ(run({verb, kNotes + "case.toml", folder.path("none.csv")}).exit_code, 1);
  }
}

TEST(CalibrateVerb, SaysThatNothingIsEnteredYet) {
  const ScratchFolder folder;
  const Ended e = run({"calibrate", kNotes + "case.toml",
                       folder.write("blank.csv",
                                    "note, set_up, down_weight [gf], measured.bore [mm]\n"
                                    "C4, as found, , 50\n")});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_EQ(e.out, "");
  EXPECT_TRUE(has(e.err, "blank.csv:2")) << e.err;
  EXPECT_TRUE(has(e.err, "no reading is entered yet")) << e.err;
}

// The file as an order leaves it: lines for the readings after the work, nothing in them yet.
TEST(AfterwardsVerb, SaysThatNothingIsEnteredYet) {
  const ScratchFolder folder;
  const std::string heads = "note, set_up, down_weight [gf], up_weight [gf], measured.bore [mm]\n";
  const std::string blank = "C4, capstan relocated, , , 50\nE4, capstan relocated, , ,\n";
  for (const std::string before : {"C4, as found, 53, 21, 50\n", "C4, as found, , , 50\n"}) {
    const std::string path = folder.write("after.csv", heads + before + blank);
    const Ended e = run({"afterwards", kAfter + "case.toml", path, "--out", folder.path("out")});
    EXPECT_EQ(e.exit_code, 1);
    EXPECT_TRUE(has(e.err, "after.csv:3")) << e.err;
    EXPECT_TRUE(has(e.err, "no reading after the work is entered yet: the 2 lines for \"capstan relocated\""))
        << e.err;
    EXPECT_TRUE(has(e.err, "weigh these notes after the work")) << e.err;
    EXPECT_FALSE(has(e.err, "under set_up")) << "that column is right";
    EXPECT_FALSE(std::filesystem::exists(folder.path("out")));
  }
  const Ended none =
      run({"afterwards", kAfter + "case.toml", folder.write("b.csv", heads + "C4, as found, 53, 21, 50\n")});
  EXPECT_EQ(none.exit_code, 1);
  EXPECT_TRUE(has(none.err, "no line was measured after the work")) << none.err;
}

}  // namespace
}  // namespace leverwright::app_test

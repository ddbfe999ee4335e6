// keyboard, run as a user runs it.
#include <gtest/gtest.h>
#include <signal.h>

#include <nlohmann/json.hpp>

#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

const std::string kKeyboard = "cases/samples_to_88/case.toml";

TEST(Keyboard, TableStudyJsonAndCsvTellTheSame) {
  ScratchFolder folder;
  const Ended e =
      run({"keyboard", kKeyboard, "--every", "40", "--no-uncertainty", "--no-pictures", "--all", "--out",
           folder.path("o"), "--json", folder.path("k.json"), "--csv", folder.path("k.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  for (const char* part : {"Not like the others: wippen weight of D#6", "the nearest straight line goes from",
                           "Lead is poisonous", "can feel bouncy", "trial note first"})
    EXPECT_TRUE(has(e.out, part)) << part;
  const auto json = nlohmann::json::parse(read_text(folder.path("k.json")));
  EXPECT_EQ(json["status"], "complete");
  ASSERT_EQ(json["carried"][0]["notes"].size(), 88u);
  const auto notes = json["courses"][0]["notes"];
  ASSERT_EQ(notes.size(), 10u) << "1, 41, 81 and the eight samples, 41 among them";
  EXPECT_EQ(lines_of(read_text(folder.path("k.csv"))).size(), 11u);
  const std::string path = folder.path("o/samples_to_88_keyboard.h5");
  EXPECT_TRUE(store::check_study(path).empty()) << base::write_problems(store::check_study(path));
  const store::StudyReader in(path);
  const store::Table found = in.read_table("/keyboard/courses/as_found");
  ASSERT_EQ(found.rows(), 10u);
  for (std::size_t k = 0; k < notes.size(); ++k)
    EXPECT_NEAR(found.find("down_weight")->numbers[k] / 9.80665e-3, notes[k]["down_weight"].get<double>(),
                1e-9);
  const store::Table leads = in.read_table("/keyboard/leads");
  const auto first = json["leads"][0]["fewest"];
  EXPECT_NEAR(leads.find("fewest_front_weight")->numbers[0] / 9.80665e-3,
              first["front_weight_gf"].get<double>(), 1e-9);
  EXPECT_EQ(leads.find("fewest_count")->numbers[0], static_cast<double>(first["leads"].size()));
}

TEST(Keyboard, ACaseWithoutOneSaysWhatToWrite) {
  const Ended e = run({"keyboard", kCase});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "samples = ")) << e.err;
}

TEST(Keyboard, CtrlCKeepsWhatIsFinished) {
  const ScratchFolder folder;
  Program program(
      {"keyboard", kKeyboard, "--every", "44", "--no-pictures", "--progress", "--out", folder.path("o")});
  ASSERT_TRUE(program.wait_for_talk("uncertainty")) << program.err_so_far();
  kill(program.id(), SIGINT);
  const Ended e = program.wait();
  EXPECT_EQ(e.exit_code, 2) << e.err;
  const std::string path = folder.path("o/samples_to_88_keyboard.h5");
  const store::StudyReader in(path);
  EXPECT_EQ(in.status(), "stopped");
  EXPECT_TRUE(in.has("/keyboard/courses/as_found"));
  EXPECT_EQ(run({"check", path}).exit_code, 0);
}

}  // namespace
}  // namespace leverwright::app_test

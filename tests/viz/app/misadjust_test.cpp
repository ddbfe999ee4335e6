// misadjust, run as a user runs it.
#include <gtest/gtest.h>
#include <signal.h>

#include <nlohmann/json.hpp>

#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

TEST(Misadjust, TableStudyAndJsonTellTheSame) {
  ScratchFolder folder;
  const Ended e = run({"misadjust", kCase, "--amount", "0.3", "--no-repetition", "--no-pictures", "--out",
                       folder.path("out"), "--json", folder.path("m.json"), "--csv", folder.path("m.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "as regulated"));
  EXPECT_TRUE(has(e.out, "0.3 mm of paper in"));
  EXPECT_TRUE(has(e.out, "6 % stronger"));
  const auto json = nlohmann::json::parse(read_text(folder.path("m.json")));
  ASSERT_EQ(json["rows"].size(), 17u);
  EXPECT_EQ(lines_of(read_text(folder.path("m.csv"))).size(), 18u);
  const std::string path = folder.path("out/missed_heel_misadjustment.h5");
  EXPECT_TRUE(store::check_study(path).empty()) << base::write_problems(store::check_study(path));
  const store::Table table = store::StudyReader(path).read_table("/set_ups/00/misadjustment");
  ASSERT_EQ(table.rows(), 17u);
  const auto* down = table.find("down_weight");
  ASSERT_NE(down, nullptr);
  for (std::size_t k = 0; k < 17; ++k)
    if (!json["rows"][k]["down_weight"].is_null()) {
      EXPECT_NEAR(down->numbers[k] / 9.80665e-3, json["rows"][k]["down_weight"].get<double>(), 1e-9);
    }
}

TEST(Misadjust, CtrlCKeepsTheRowsFinished) {
  const ScratchFolder folder;
  Program program({"misadjust", kCase, "--no-repetition", "--progress", "--out", folder.path("out"), "--json",
                   folder.path("m.json")});
  ASSERT_TRUE(program.wait_for_talk("settings of as found")) << program.err_so_far();
  kill(program.id(), SIGINT);
  const Ended e = program.wait();
  EXPECT_EQ(e.exit_code, 2) << e.err;
  EXPECT_TRUE(has(e.err, "not tried: ")) << e.err;
  EXPECT_TRUE(has(e.out, "as regulated")) << "the table of what is finished is printed";
  EXPECT_TRUE(has(e.out, "Not tried: ")) << e.out;
  const auto json = nlohmann::json::parse(read_text(folder.path("m.json")));
  EXPECT_EQ(json["status"], "stopped");
  EXPECT_EQ(json["rows"].size() + json["missing"].size(), 81u);
  ASSERT_FALSE(json["rows"].empty());
  EXPECT_EQ(json["rows"][0]["setting"], "as regulated");
  const std::string path = folder.path("out/missed_heel_misadjustment.h5");
  const store::StudyReader in(path);
  EXPECT_EQ(in.status(), "stopped");
  EXPECT_TRUE(has(in.reason(), "not tried")) << in.reason();
  EXPECT_EQ(in.read_table("/set_ups/00/misadjustment").rows(), json["rows"].size());
  EXPECT_EQ(run({"check", path}).exit_code, 0);
}

TEST(Misadjust, AnAmountThatIsNoneIsRefused) {
  const Ended e = run({"misadjust", kCase, "--amount", "0.1", "-0.3"});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "0 to 2 mm")) << e.err;
}

}  // namespace
}  // namespace leverwright::app_test

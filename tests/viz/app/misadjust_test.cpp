// misadjust, run as a user runs it.
#include <gtest/gtest.h>

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

TEST(Misadjust, AnAmountThatIsNoneIsRefused) {
  const Ended e = run({"misadjust", kCase, "--amount", "0.1", "-0.3"});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "0 to 2 mm")) << e.err;
}

}  // namespace
}  // namespace leverwright::app_test

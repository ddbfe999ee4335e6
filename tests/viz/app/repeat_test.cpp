// repeat, run as a user runs it, on a ladder of two rungs.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

TEST(Repeat, TableStudyAndJsonTellTheSame) {
  ScratchFolder folder;
  const Ended e =
      run({"repeat", kCase, "--set-up", "as found", "--from", "10", "--to", "15", "--step", "5", "--no-why",
           "--no-pictures", "--all", "--out", folder.path("out"), "--json", folder.path("r.json")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "unbroken up to, full return"));
  EXPECT_TRUE(has(e.out, "Share of good strokes, partial return"));
  const auto json = nlohmann::json::parse(read_text(folder.path("r.json")));
  EXPECT_EQ(json["status"], "complete");
  const auto& full = json["set_ups"][0]["full"];
  ASSERT_EQ(full["rungs"].size(), 2u);
  const std::string path = folder.path("out/missed_heel_repetition.h5");
  EXPECT_TRUE(store::check_study(path).empty()) << base::write_problems(store::check_study(path));
  const store::StudyReader study(path);
  ASSERT_EQ(study.set_ups().size(), 1u);
  const auto good = study.read_series("/set_ups/00/repetition/full/share_good").values;
  ASSERT_EQ(good.size(), 2u);
  for (std::size_t k = 0; k < 2; ++k)
    EXPECT_NEAR(good[k], full["rungs"][k]["good"].get<double>() / full["rungs"][k]["strokes"].get<double>(),
                1e-12);
  EXPECT_GT(good[0], good[1]) << "15 a second is too fast with full return";
  EXPECT_NEAR(study.number_attribute("/set_ups/00/repetition/full", "unbroken_rate"),
              full["unbroken_per_second"].get<double>(), 1e-12);
}

TEST(Repeat, WrongNumbersAreToldBeforeAnythingIsWorkedOut) {
  for (const auto& [option, value, told] :
       {std::tuple{"--from", "30", "make no ladder"}, std::tuple{"--partial", "1.4", "of the dip"},
        std::tuple{"--step", "0", "--step 0"}}) {
    ScratchFolder folder;
    const Ended e = run({"repeat", kCase, option, value, "--out", folder.path("out")});
    EXPECT_EQ(e.exit_code, 1);
    EXPECT_TRUE(has(e.err, told)) << e.err;
    EXPECT_TRUE(folder.names().empty());
  }
}

}  // namespace
}  // namespace leverwright::app_test

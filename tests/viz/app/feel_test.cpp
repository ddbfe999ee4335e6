// feel, run as a user runs it.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

TEST(Feel, TableAndJsonTellTheSame) {
  ScratchFolder folder;
  const Ended e = run({"feel", kCase, "--all", "--set-up", "as found", "--json", folder.path("f.json"),
                       "--csv", folder.path("f.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  for (const char* piece : {"let-off bump, width at half height", "of it hammer",
                            "lost at, gf at the playing point", "off one mass", "the knuckle bears up to"})
    EXPECT_TRUE(has(e.out, piece)) << piece;
  const auto json = nlohmann::json::parse(read_text(folder.path("f.json")));
  EXPECT_EQ(json["status"], "complete");
  ASSERT_EQ(json["set_ups"].size(), 1u);
  const auto& s = json["set_ups"][0];
  EXPECT_EQ(s["key_motions"].size(), 5u);
  EXPECT_EQ(s["key_motions"][0]["dip_m"].size(), s["key_motions"][0]["force_N"].size());
  const std::string csv = read_text(folder.path("f.csv"));
  EXPECT_EQ(lines_of(csv).front(), "set_up,group,name,value,unit");
  EXPECT_EQ(lines_of(csv).size(), 1 + s["numbers"].size());
}

TEST(Feel, AnUnknownSetUpIsToldWithTheNearest) {
  const Ended e = run({"feel", kCase, "--set-up", "as fond"});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "did you mean --set-up \"as found\"?")) << e.err;
}

}  // namespace
}  // namespace leverwright::app_test

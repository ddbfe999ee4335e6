// Records that can be played and mean nothing: each is refused with what gave it away.
#include "models/playing/record_plausibility.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <ctime>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::playing {
namespace {

// A plausible stroke of 300 ms: pressed to `most` and let up again; every number times its factor.
std::string stroke(const std::string& time_unit, double time_factor, const std::string& column, double most,
                   int samples = 300) {
  std::string out = fmt::format("time ({}),{}\n", time_unit, column);
  for (int k = 0; k <= samples; ++k) {
    const double share = static_cast<double>(k) / samples;
    out += fmt::format("{:.9g},{:.9g}\n", 0.3 * share * time_factor,
                       most * std::pow(std::sin(base::kPi * share), 2));
  }
  return out;
}

std::string fault_of(const std::string& text) {
  const support::ScratchFolder folder;
  try {
    read_history(folder.write("record.csv", text));
  } catch (const base::UserError& error) {
    const auto& p = error.problems().front();
    EXPECT_FALSE(p.expected.empty());
    return p.what + " | " + p.advice;
  }
  return "";
}

TEST(RecordPlausibility, AStrokeIsRead) {
  EXPECT_EQ(fault_of(stroke("ms", 1e3, "force (N)", 5)), "");
  EXPECT_EQ(fault_of(stroke("s", 1, "dip (mm)", 9.8)), "");
  EXPECT_EQ(fault_of(stroke("s", 1, "force (gf)", 250)), "");
  EXPECT_EQ(fault_of(stroke("ms", 1e3, "force (N)", 80)), "");
}

struct Wrong {
  const char* name;
  std::string text, told;
};

TEST(RecordPlausibility, AWrongUnitSignOrSizeIsToldWithItsReason) {
  const std::vector<Wrong> table = {
      {"ms called s", stroke("s", 1e3, "force (N)", 5), "the times look like ms or us called s"},
      {"us called s", stroke("s", 1e6, "force (N)", 5), "the times look like ms or us called s"},
      {"us called ms", stroke("ms", 1e6, "force (N)", 5), "the times look like ms or us called s"},
      {"a short record, ms called s", stroke("s", 100, "force (N)", 5, 30), "stand 1000 ms apart"},
      {"s called ms", stroke("ms", 1, "force (N)", 5), "the times look like s called ms"},
      {"mm called m", stroke("s", 1, "dip (m)", 9.8), "they look like mm called m"},
      {"mm called cm", stroke("s", 1, "dip (cm)", 9.8), "they look like mm called m or cm"},
      {"m called mm", stroke("s", 1, "dip (mm)", 9.8e-3), "they look like m or cm called mm"},
      {"gf called N", stroke("s", 1, "force (N)", 500), "they look like gf or mN called N"},
      {"N called gf", stroke("s", 1, "force (gf)", 5), "they look like N called gf"},
      {"force upwards", stroke("s", 1, "force (N)", -5), "turn the sign round"},
      {"dip upwards", stroke("s", 1, "dip (mm)", -9.8), "turn the sign round"},
      {"1e300", stroke("s", 1, "force (N)", 1e300), "is none of a piano's key"},
      {"ten samples a second", stroke("s", 1, "force (N)", 5, 12), "sample faster"},
      {"a jump", "time (s),dip (mm)\n0,0\n0.001,0\n0.002,0\n0.003,9\n0.004,9\n0.005,9\n0.006,9\n0.007,9\n",
       "the key would move at"},
      {"a hole", stroke("s", 1, "force (N)", 5) + "9.2,0\n", "a piece is missing"}};
  for (const Wrong& wrong : table)
    EXPECT_NE(fault_of(wrong.text).find(wrong.told), std::string::npos)
        << wrong.name << ": " << fault_of(wrong.text);
}

// Twenty problems and a count, in a time that grows with the file.
TEST(RecordPlausibility, ThreeHundredThousandBadLinesAreToldAtOnce) {
  std::string text = "time (ms),force (N)\n";
  for (int k = 0; k < 300'000; ++k) text += "no,number\n";
  const support::ScratchFolder folder;
  const std::clock_t begun = std::clock();  // of the processor, whatever else the machine does
  try {
    read_history(folder.write("record.csv", text));
    FAIL() << "was read";
  } catch (const base::UserError& error) {
    EXPECT_EQ(error.problems().size(), 20u);
    EXPECT_NE(error.problems().back().what.find("599981 more"), std::string::npos)
        << error.problems().back().what;
  }
  EXPECT_LT(std::clock() - begun, 10 * CLOCKS_PER_SEC);
}

}  // namespace
}  // namespace leverwright::playing

#include "models/study/evaluate.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/case/read_case.h"
#include "models/study/inputs.h"

namespace leverwright::study {
namespace {

TEST(Evaluate, ASpringTooSoftForAMovedActionIsMadeStrongerFirst) {
  const auto d = case_file::read_case("cases/missed_heel/case.toml");
  const auto level = find_key_level(d);
  // As soft as playing sets it on the base, and then the spring itself at the weak end of its range.
  action::ScrewSettings soft{};
  soft[action::kRepetitionSpring] = -8e-3;
  auto weak = d;
  for (const auto& in : find_inputs(d))
    if (in.key == "wippen.lever_spring_torque") weak = move_input(d, in, in.uniform ? in.from : -2);
  const Prepared p = prepare(weak, 0, level, soft);
  EXPECT_GT(p.regulated.dip_let_off, 0);
  EXPECT_GT(p.regulated.screws[action::kRepetitionSpring], soft[action::kRepetitionSpring]);
  // A spring that carries is left alone.
  EXPECT_EQ(prepare(d, 0, level, soft).regulated.screws[action::kRepetitionSpring],
            soft[action::kRepetitionSpring]);
  // The spring is inside the wippen: what the finger weighs does not hang on it before the drop screw.
  std::string why;
  const Measures m = evaluate(weak, 0, level, soft, &why);
  EXPECT_EQ(why, "");
  EXPECT_NEAR(m[kDownWeight], evaluate(d, 0, level, {})[kDownWeight], 0.5 * 9.80665e-3);
}

}  // namespace
}  // namespace leverwright::study

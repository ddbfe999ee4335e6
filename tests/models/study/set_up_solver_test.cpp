#include "models/study/set_up_solver.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/remedies/read_case.h"
#include "models/search/trial.h"
#include "models/study/compare.h"
#include "models/study/inputs.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::study {
namespace {

TEST(SetUpSolver, ASpringTooSoftForAMovedActionIsMadeStrongerFirst) {
  const auto d = remedies::read_case("cases/missed_heel/case.toml");
  const SetUpSolver solver(d);
  // As soft as playing sets it on the base, and then the spring itself at the weak end of its range.
  action::ScrewSettings soft{};
  soft[action::kRepetitionSpring] = -8e-3;
  auto weak = d;
  for (const auto& in : find_inputs(d))
    if (in.key == "wippen.lever_spring_torque") weak = move_input(d, in, in.uniform ? in.from : -2);
  const SetUpResult s = solver.solve(weak, weak.set_ups[0], quick_options(soft));
  EXPECT_GT(s.regulated.dip_let_off, 0);
  EXPECT_GT(s.regulated.screws[action::kRepetitionSpring], soft[action::kRepetitionSpring]);
  // A spring that carries is left alone.
  EXPECT_EQ(solver.solve(d, d.set_ups[0], quick_options(soft)).regulated.screws[action::kRepetitionSpring],
            soft[action::kRepetitionSpring]);
  // The spring is inside the wippen: what the finger weighs does not hang on it before the drop screw.
  std::string why;
  const Measures m = solver.measure(weak, 0, soft, &why);
  EXPECT_EQ(why, "");
  EXPECT_NEAR(m[kDownWeight], solver.measure(d, 0, {})[kDownWeight], 0.5 * base::kGramForce);
}

// A trial of the base is the base of a comparison, and its key rests as measured whatever it rests on.
TEST(SetUpSolver, ATrialOfTheBaseIsTheBaseOfAComparison) {
  auto d = remedies::read_case("cases/sought_heel/case.toml");
  d.set_ups.resize(1);
  for (const char* punching : {"off", "on"}) {
    d.choices["options.balance_punching"] = punching;
    const SetUpSolver solver(d);
    const search::Trial t = search::try_set_up(solver, d, d.set_ups[0], search::find_trial_start(solver, d));
    ASSERT_TRUE(t.ok) << t.why;
    CompareOptions options;
    options.uncertainty = false;
    const Comparison c = compare(d, options);
    const QuantityValues values = read_quantities(c.set_ups.front());
    for (std::size_t k = 0; k < kOwnCount; ++k)
      EXPECT_NEAR(t.numbers[k], values[k], least_shown(kQuantities[k]))
          << punching << ": " << kQuantities[k].name;
    EXPECT_NEAR(t.numbers[kKeyHeight], 0, 1e-6) << punching;
  }
}

TEST(SetUpSolver, WhatHasNoAnswerIsToldNotThrown) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  const SetUpSolver solver(d);
  d.quantities.at("measured.spread").value *= 3;
  const SetUpResult s = solver.try_solve(d, d.set_ups[0], quick_options());
  EXPECT_NE(why_no_answer(s), "");
  EXPECT_NE(why_not_weighed(s), "");
  for (const double m : s.measures) EXPECT_TRUE(std::isnan(m));
  d.set_ups.clear();
  EXPECT_THROW(SetUpSolver{d}, base::UserError);
}

}  // namespace
}  // namespace leverwright::study

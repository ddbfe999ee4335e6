// Motion in, force out tells a one-mass toy from the model; force in, motion out flatters it. (Thorin,
// Boutillon, Lozada, Acta Acustica united with Acustica 100, 2014, abstract; the table is
// tests/validation/motion_in_force_out.md.)
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "tests/support/read_text.h"
#include "tests/validation/experiments/motion_against_toy.h"

namespace leverwright::validation {
namespace {

TEST(MotionInForceOut, TellsTheToyFromTheModelWhereForceInDoesNot) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  study::CompareOptions options;
  options.uncertainty = false;
  const study::SetUpResult s = std::move(study::compare(d, options).set_ups.front());
  const test_support::OneMass toy = fit_toy(s);
  // The toy's own statics are the weighing's.
  EXPECT_NEAR(toy.force(5e-3, 1, 0) + toy.force(5e-3, -1, 0), 2 * analysis::interpolate(toy.balance, 5e-3),
              1e-12);
  EXPECT_NEAR(toy.friction / s.weighing.friction, 1, 0.3);
  const playing::KeyMotionForce mf = playing::find_key_motion_force(s, 0.07),
                                f = playing::find_key_motion_force(s, 0.045);
  const test_support::OneMass fitted = fit_mass(s, toy, mf);
  // The page was written by the program as it is now.
  const std::string text = support::read_text("tests/validation/motion_in_force_out.md");
  const std::string row = fmt::format("| 70 ms | {:.2f} m/s | {:.1f} N |", mf.hammer_speed, mf.peak);
  EXPECT_NE(text.find(row), std::string::npos)
      << row << "\nrun tests/validation/experiments/motion_experiment again";
  for (const auto* motion : {&mf, &f}) {
    const ToyComparison plain = compare_with_toy(s, toy, *motion),
                        best = compare_with_toy(s, fitted, *motion);
    EXPECT_GT(plain.by_motion.rms, 2 * plain.by_force.rms);
    EXPECT_GT(best.by_motion.rms, 0.25) << "with any mass its force is wrong by a quarter and more";
    EXPECT_GT(best.by_motion.rms, 3 * best.by_force.rms) << "while driven by force it looks good";
    EXPECT_LT(best.by_force.rms, motion == &mf ? 0.2 : 0.3);
  }
}

}  // namespace
}  // namespace leverwright::validation

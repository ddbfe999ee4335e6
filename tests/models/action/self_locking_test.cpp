// Self-locking begins where the forces of the rigid train have no solution any more, and is said from there on: what is
// weighed before has a sensible answer, however near.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

struct Weighed {
  bool regulated, jammed, ok;
  double down, up;
};

Weighed weigh_at(double mu) {
  static const case_file::CaseDescription d = remedies::read_case("cases/steep_heel/case.toml");
  ActionDesign x = design(d, d.set_ups.front());
  const Regulated r = regulate_base(x, {}, x.policy);
  // The friction alone: regulated as before, so that nothing else changes.
  for (const ContactId place : {kJackKnuckle, kLeverKnuckle}) {
    auto& friction = x.laws[place].friction;
    friction = planar::DryFriction(mu, friction.shear_share(), x.laws[place].cloth.exponent(),
                                   friction.nap_shear(), friction.damping_time());
  }
  const Weighing w = weigh(assemble(x, r.screws), r);
  return {r.ok, w.jam.jammed, w.ok, w.down_weight / kGf, w.up_weight / kGf};
}

TEST(SelfLocking, IsSaidBeforeWeightsBecomeAbsurd) {
  double last = 0;
  bool locked = false;
  for (double mu = 0.1; mu < 3.0; mu *= 1.15) {
    const Weighed w = weigh_at(mu);
    ASSERT_TRUE(w.regulated);
    RecordProperty("mu", std::to_string(mu));
    if (w.jammed || !w.ok) {
      locked = true;
      continue;
    }
    EXPECT_FALSE(locked) << "once locked, more friction does not free it: mu " << mu;
    EXPECT_GT(w.down, last) << mu;
    EXPECT_LT(w.down, 400) << mu;
    EXPECT_LT(w.up, w.down) << mu;
    last = w.down;
  }
  EXPECT_TRUE(locked);
}

}  // namespace
}  // namespace leverwright::action

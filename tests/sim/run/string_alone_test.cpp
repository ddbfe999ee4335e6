// A string that nothing is near is left out of the steps: the motion must be the same as with it.
#include <gtest/gtest.h>

#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

constexpr double kSpeed = 1.3, kFar = 21.7e-3, kNear = 0.4e-3;  // [m/s], [m] from the string

// A mass that flies at a string; it starts `away` from it.
Mechanism flying_mass() {
  Mechanism m;
  m.gravity.setZero();
  planar::Body b;
  b.name = "mass";
  b.joint = planar::Joint::kSlide;
  b.slide_direction = planar::Vec2(0, 1);
  b.mass = 7.9e-3;
  m.tree.add(b);
  auto c = std::make_unique<planar::TipOnLine>("felt", planar::kGround, planar::Vec2(0, 0),
                                               planar::Vec2(0, -1), 0, planar::Vec2(0, 0), 0.0);
  c->cloth = planar::Cloth(13.0, 0.25e-3, 2.5, 0.1, 0.1);
  m.contacts.push_back(std::move(c));
  m.strings.push_back(
      {"string", 0, planar::ModalString({0.62, 11.8e-3, 2010, 3.8e-5, 0.12, 0.5, 6.25e-9, 8})});
  m.finish();
  return m;
}

struct Flown {
  double speed = 0, energy = 0;  // of the mass, of the string
  EnergyAudit audit;
  long rhs_calls = 0;
};

// The string swings from the start, by up to some tenths of a millimetre.
Flown fly(double away, double aged, double duration, std::vector<double>* end = nullptr) {
  const Mechanism m = flying_mass();
  StrokeOptions options = without_samples();
  options.tolerance = 1e-3;
  Stroke stroke(m, kNoDrive, options);
  auto x = still(m);
  x[0] = -away;
  x[1] = kSpeed;
  double* string = x.data() + m.at_string(0);
  for (int k = 0; k < 8; ++k) string[2 + k] = 6e-5 * std::sin(1.1 * k + 0.4);
  planar::ModalString::RotatingAmplitudes t = m.strings[0].string.work_space();
  m.strings[0].string.swing_on(string, aged, t);
  stroke.start(0, x);
  stroke.advance(duration);
  if (end) *end = stroke.state();
  return {stroke.state()[1], m.strings[0].string.energy(stroke.state().data() + m.at_string(0)),
          stroke.audit(), stroke.statistics().rhs_calls};
}

TEST(StringAlone, IsMetAsItWouldHaveSwungMeanwhile) {
  const double flight = (kFar - kNear) / kSpeed, after = 6e-3;
  const Flown near = fly(kNear, flight, after), far = fly(kFar, 0, flight + after);
  const Flown other = fly(kNear, flight + 0.4e-3, after);
  EXPECT_LT(far.speed, -0.3) << "thrown back";
  EXPECT_NEAR(far.speed, near.speed, 2e-6 * kSpeed);
  EXPECT_NEAR(far.energy, near.energy, 1e-5 * near.energy);
  EXPECT_GT(std::abs(other.speed - near.speed), 1e-3 * kSpeed) << "the moment of the swing counts";
}

TEST(StringAlone, ItsLossIsInTheAuditAndItsEnergyInTheState) {
  const double duration = 9e-3;  // never meets
  std::vector<double> end;
  const Flown r = fly(kFar, 0, duration, &end);
  const Mechanism m = flying_mass();
  auto x = still(m);
  double* string = x.data() + m.at_string(0);
  for (int k = 0; k < 8; ++k) string[2 + k] = 6e-5 * std::sin(1.1 * k + 0.4);
  planar::ModalString::RotatingAmplitudes t = m.strings[0].string.work_space();
  const double lost = m.strings[0].string.swing_on(string, duration, t);
  EXPECT_GT(lost, 0);
  EXPECT_NEAR(r.audit.losses, lost, 1e-9 * lost);
  EXPECT_NEAR(r.audit.stored_change, -lost, 1e-6 * lost);
  for (std::size_t i = at(m.at_string(0)); i < end.size(); ++i) EXPECT_NEAR(end[i], x[i], 1e-13) << i;
}

// From so near a start that a step could pass the bound: the mass is faster than any hammer.
TEST(StringAlone, IsLookedAfterHoweverFastItIsMet) {
  const Mechanism m = flying_mass();
  StrokeOptions options = without_samples();
  Stroke stroke(m, kNoDrive, options);
  auto x = still(m);
  x[0] = -8e-3;
  x[1] = 40;
  stroke.start(0, x);
  stroke.advance(4e-3);
  EXPECT_LT(stroke.state()[1], 40);
  EXPECT_GT(m.strings[0].string.energy(stroke.state().data() + m.at_string(0)), 0.1);
  EXPECT_LT(std::abs(stroke.audit().error()), 1e-3);
}

}  // namespace
}  // namespace leverwright::run

// A capstan so dry that it does not slide on its cloth: when, by the closed form of
// models/handbook/leaning_capstan.md, and that the program says so.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/models/action/dry_capstan.h"

namespace leverwright::action {
namespace {

// Over the whole stroke: swing of the slide [m], least normal force [N], largest |u|, work rubbed off [J].
struct Stroke {
  double swing = 0, least_normal = 1e3, most_u = 0, rubbed = 0;
};
Stroke look_at(const Prepared& p) {
  Stroke out;
  for (const auto* way : {&p.weighing.down, &p.weighing.up}) {
    double slid = 0, low = 0, high = 0, last = 0;
    for (const run::StaticSample& s : *way)
      for (std::size_t i = 0; i < s.normal.size(); ++i) {
        if (p.action.mechanism.contacts[i]->group != kContactNames[kCapstanHeel] || s.normal[i] < 0.02)
          continue;
        slid += s.slip_rate[i] * (s.travel - last);
        out.rubbed += s.ledger.friction[i] * std::abs(s.travel - last);
        last = s.travel;
        low = std::min(low, slid);
        high = std::max(high, slid);
        out.least_normal = std::min(out.least_normal, s.normal[i]);
        out.most_u = std::max(out.most_u, std::abs(s.state.u[i]));
      }
    if (way == &p.weighing.down) out.swing = high - low;
  }
  return out;
}

std::size_t told(const Prepared& p) {
  return static_cast<std::size_t>(
      std::count_if(p.weighing.warnings.begin(), p.weighing.warnings.end(), [](const std::string& w) {
        return w.find("the capstan does not slide on its cloth") != std::string::npos;
      }));
}

// k_t S / 2 = mu N with k_t = kappa_t p N / d: the load drops out but for the compression.
TEST(StuckCapstan, SticksFromTheClosedFormsCoefficientOn) {
  const Prepared base = with_capstan_friction(0.40);
  const Stroke stroke = look_at(base);
  const ContactLaw& law = base.design.laws[kCapstanHeel];
  const double depth = law.cloth.reference_compression() *
                       std::pow(stroke.least_normal / law.cloth.reference_force(), 1 / law.cloth.exponent());
  const double coefficient = (0.5 * stroke.swing - law.friction.nap_shear()) * law.friction.shear_share() *
                             law.cloth.exponent() / depth;
  RecordProperty("coefficient", std::to_string(coefficient));
  const Stroke slides = look_at(with_capstan_friction(0.92 * coefficient));
  const Stroke sticks = look_at(with_capstan_friction(1.08 * coefficient));
  EXPECT_EQ(slides.most_u, 1.0);
  EXPECT_GT(slides.rubbed, 0.0);
  EXPECT_LT(sticks.most_u, 1.0);
  EXPECT_LT(std::abs(sticks.rubbed), 1e-3 * look_at(with_capstan_friction(0.25)).rubbed)
      << "no slide, no loss";
}

TEST(StuckCapstan, IsToldAndASlidingOneIsNot) {
  EXPECT_EQ(told(with_capstan_friction(0.25)), 0u);
  EXPECT_EQ(told(with_capstan_friction(0)), 0u);
  const Prepared dry = with_capstan_friction(0.40);
  ASSERT_EQ(told(dry), 1u);
  // Half the swing up to let-off is the least that the cloth has to lean.
  const std::string& text = dry.weighing.warnings.back();
  const double lean = std::stod(text.substr(text.find("up to ") + 6));
  EXPECT_GT(lean, 0.03);
  EXPECT_LT(lean, 0.08);
}

}  // namespace
}  // namespace leverwright::action

// Actions that are not built or set like the demo's: helping springs as found, a jack that carries part of the hammer
// at rest or stands out of line, round jack tops, overhanging heels, crowns of another radius.
#include <gtest/gtest.h>

#include <cmath>

#include "models/action/heel_trace.h"
#include "sim/base/error.h"
#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

case_file::CaseDescription demo_with(const std::map<std::string, double>& values) {
  case_file::CaseDescription d = demo_case();
  for (const auto& [key, value] : values) d.quantities[key].value = value;
  return d;
}

Prepared prepare_base(const case_file::CaseDescription& d) {
  Prepared p;
  p.design = design(d, d.set_ups.front());
  p.regulated = regulate_base(p.design, {}, p.design.policy);
  EXPECT_TRUE(p.regulated.ok) << (p.regulated.failures.empty() ? "" : p.regulated.failures[0].requirement);
  if (!p.regulated.ok) return p;
  p.action = assemble(p.design, p.regulated.screws);
  p.weighing = weigh(p.action, p.regulated);
  EXPECT_TRUE(p.weighing.ok) << p.weighing.failure;
  return p;
}

TEST(AsBuilt, SpringOnTheKeyCountsAsWeightAtItsFront) {
  const Prepared plain = prepare_base(demo_with({})),
                 helped = prepare_base(demo_with({{"key.assist", 5 * kGf}}));
  EXPECT_NEAR(plain.balance() - helped.balance(), 5, 0.06);
  EXPECT_NEAR(helped.weighing.weight_ratio, plain.weighing.weight_ratio, 2e-3 * plain.weighing.weight_ratio);
}

// 4 gf off the heel contact, met through the key's ratio, in down and up weight nearly alike.
TEST(AsBuilt, SpringOnTheWippenCountsAsWeightOffTheHeel) {
  const Prepared plain = prepare_base(demo_with({})),
                 helped = prepare_base(demo_with({{"wippen.assist", 4 * kGf}}));
  EXPECT_NEAR(plain.balance() - helped.balance(), 4 * plain.weighing.key_ratio, 0.1);
  EXPECT_NEAR(plain.down() - helped.down(), plain.up() - helped.up(), 0.4);
  EXPECT_NEAR(helped.weighing.weight_ratio, plain.weighing.weight_ratio, 5e-3 * plain.weighing.weight_ratio);
  // Fading by half it helps less, most so deep in the stroke, where up weight is read.
  const Prepared fading = prepare_base(demo_with({{"wippen.assist", 4 * kGf}, {"wippen.assist_fade", 0.5}}));
  EXPECT_GT(fading.up(), helped.up() + 0.3);
  EXPECT_LT(fading.up(), plain.up());
}

TEST(AsBuilt, JackPressedIntoTheKnuckleCarriesPartOfTheHammer) {
  const auto loads = [](double clearance) {
    const Prepared p = prepare_base(demo_with({{"regulation.jack_clearance", clearance}}));
    EXPECT_NEAR(p.regulated.jack_clearance, clearance, 2e-6);
    planar::Scratch s(p.action.mechanism);
    s.q = p.regulated.rest.q;
    p.action.mechanism.calc_contact_points(s);
    const auto force = [&](ContactId place) {
      const auto i = static_cast<std::size_t>(p.action.contact[place]);
      return s.contact_points[i].depth > 0
                 ? p.action.mechanism.contacts[i]->cloth.elastic_force(s.contact_points[i].depth)
                 : 0.0;
    };
    return std::pair(force(kJackKnuckle), force(kLeverKnuckle));
  };
  const auto clear = loads(0.1e-3), pressed = loads(-0.05e-3);
  EXPECT_EQ(clear.first, 0);
  EXPECT_GT(pressed.first, 0.05 * clear.second);
  EXPECT_LT(pressed.second, 0.97 * clear.second);
  // So far in that nothing is left for the lever: named, not solved.
  const auto d = demo_with({{"regulation.jack_clearance", -0.3e-3}});
  ActionDesign deep = design(d, d.set_ups.front());
  const Regulated r = regulate_base(deep, {}, deep.policy);
  if (!r.ok) {
    ASSERT_FALSE(r.failures.empty());
    EXPECT_EQ(r.failures[0].requirement, "lever height");
  }
}

TEST(AsBuilt, JackStandsWhereItWasMeasured) {
  const Prepared p = prepare_base(demo_with({{"regulation.jack_position", 0.4e-3}}));
  EXPECT_NEAR(p.regulated.jack_offset, -0.4e-3, 2e-6);
  EXPECT_NEAR(p.regulated.let_off, p.design.let_off, 1e-5);
}

TEST(AsBuilt, RoundJackTopsAreRegulatedAndWeighed) {
  const Prepared flat = prepare_base(demo_with({}));
  for (const double radius : {10e-3, 7e-3, 5e-3}) {
    SCOPED_TRACE(radius);
    const Prepared p = prepare_base(demo_with({{"wippen.jack_crown", radius}}));
    EXPECT_NEAR(p.regulated.let_off, p.design.let_off, 1e-5);
    EXPECT_NEAR(p.down(), flat.down(), 12);
  }
  // A half round gives the knuckle no edge to fall from: its drop is named, or found.
  const auto d = demo_with({{"wippen.jack_crown", 2.5e-3}});
  ActionDesign round = design(d, d.set_ups.front());
  EXPECT_NEAR(jack_cap(round).half_width(), 0.98 * 2.5e-3, 1e-12);
  const Regulated r = regulate_base(round, {}, round.policy);
  EXPECT_TRUE(r.ok || r.failures.at(0).requirement == "drop");
}

// Crown height and string height fix blow and let-off, whatever the crown's radius; the crown's centre lies lower.
TEST(AsBuilt, CrownRadiusIsTheHammers) {
  const Prepared p = prepare_base(demo_with({{"hammer.crown_radius", 9e-3}}));
  EXPECT_NEAR(p.regulated.let_off, p.design.let_off, 1e-5);
  EXPECT_NEAR(p.action.string_gap(p.regulated.rest.q), p.regulated.blow, 2e-6);
  planar::Scratch s(p.action.mechanism);
  s.q = p.regulated.rest.q;
  p.action.mechanism.calc_contact_points(s);
  const auto string = static_cast<std::size_t>(p.action.contact[kHammerString]);
  EXPECT_NEAR(-p.action.mechanism.contacts[string]->locate(s.poses).depth, p.regulated.blow, 2e-6);
}

TEST(HeelTrace, RisingTracesStayAsTheyAre) {
  const std::vector<double> x = {-70e-3, -65e-3, -60e-3, -55e-3}, y = {-20e-3, -26e-3, -26e-3, -20e-3};
  const HeelTrace t = reachable_from_below(x, y);
  EXPECT_EQ(t.x, x);
  EXPECT_EQ(t.y, y);
  EXPECT_FALSE(t.cut_at_player || t.cut_at_strings || t.doubles_back);
}

TEST(HeelTrace, OverhangingEndBecomesAFlankOfItsHeight) {
  // On the strings' side the outline runs back under by 3 mm while it rises 6 mm.
  const HeelTrace t = reachable_from_below({-70e-3, -66e-3, -60e-3, -54e-3, -57e-3},
                                           {-20e-3, -26e-3, -26.5e-3, -25e-3, -19e-3});
  ASSERT_EQ(t.x.size(), 5u);
  EXPECT_TRUE(t.cut_at_strings);
  EXPECT_FALSE(t.cut_at_player || t.doubles_back);
  EXPECT_NEAR(t.y.back() - t.y[3], 6e-3, 1e-12);
  EXPECT_NEAR(std::atan2(t.x.back() - t.x[3], t.y.back() - t.y[3]), kFlankLean, 1e-12);
}

TEST(HeelTrace, DoublingBackInTheMiddleIsSaid) {
  EXPECT_TRUE(
      reachable_from_below({-70e-3, -62e-3, -64e-3, -55e-3}, {-20e-3, -26e-3, -24e-3, -20e-3}).doubles_back);
  EXPECT_TRUE(reachable_from_below({-55e-3, -60e-3, -70e-3}, {-20e-3, -26e-3, -20e-3}).doubles_back);
}

// The demo's heel with its strings' end undercut: the capstan meets the same face, so the weights stay.
TEST(AsBuilt, OverhangingHeelWeighsAsTheFaceItShows) {
  auto d = demo_case();
  const Prepared plain = prepare_base(d);
  auto& heel = d.point_lists.at("wippen.heel_profile");
  heel.x.back() = heel.x[heel.x.size() - 2] - 1e-3;  // runs back instead of on
  const Prepared hung = prepare_base(d);
  EXPECT_NEAR(hung.down(), plain.down(), 0.3);
  heel.x[heel.x.size() / 2] = heel.x[heel.x.size() / 2 - 1] - 0.5e-3;
  heel.place.file = "some.toml";
  try {
    design(d, d.set_ups.front());
    FAIL() << "a heel that doubles back was taken";
  } catch (const base::UserError& e) {
    EXPECT_EQ(e.problems().front().file, "some.toml");
    EXPECT_NE(e.problems().front().what.find("doubles back"), std::string::npos);
  }
}

}  // namespace
}  // namespace leverwright::action

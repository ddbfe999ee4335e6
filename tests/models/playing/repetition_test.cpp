// repetition: the ladder, its limits, what a stop leaves, and the published range.
#include "models/playing/repetition.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/playing/influences.h"
#include "tests/models/study/demo_set_up.h"

namespace leverwright::playing {
namespace {

RepetitionOptions small() {
  RepetitionOptions o;
  o.slowest = 10;
  o.fastest = 18;
  o.step = 4;
  o.strokes = 11;
  o.why = false;
  return o;
}

TEST(Repetition, SameBitsForAnyNumberOfThreadsAndLimitsThatFitTheLadder) {
  RepetitionOptions o = small();
  o.threads = 1;
  const Repetition one = find_repetition(study::demo().description, 0, study::demo().set_up, o);
  o.threads = 2;
  const Repetition two = find_repetition(study::demo().description, 0, study::demo().set_up, o);
  ASSERT_TRUE(one.complete);
  for (const auto& [a, b] : {std::pair{&one.full, &two.full}, std::pair{&one.partial, &two.partial}}) {
    ASSERT_EQ(a->rungs.size(), 3u);
    for (std::size_t k = 0; k < 3; ++k) {
      EXPECT_EQ(a->rungs[k].good, b->rungs[k].good);
      EXPECT_EQ(a->rungs[k].single_speed, b->rungs[k].single_speed);
      EXPECT_EQ(a->rungs[k].key_height, b->rungs[k].key_height);
      EXPECT_EQ(a->rungs[k].counted, 10);
      EXPECT_LE(a->rungs[k].good, a->rungs[k].sounding);
      EXPECT_TRUE(a->rungs[k].holds() || a->rungs[k].rate > a->unbroken);
    }
    EXPECT_EQ(a->unbroken, b->unbroken);
    EXPECT_GE(a->highest, a->unbroken);
    EXPECT_FALSE(a->failing.holds());
    EXPECT_GT(a->failing.rate, a->unbroken);
    EXPECT_LT(a->failing.rate - a->unbroken, 0.11) << "halved down to a tenth";
  }
  EXPECT_EQ(one.second.least_good, two.second.least_good);
  EXPECT_EQ(one.words, two.words);
  // bands.csv, "repetition, full key return": 10 to 14 strokes a second.
  EXPECT_GT(one.full.unbroken, 10);
  EXPECT_LT(one.full.unbroken, 14);
  // Double escapement: a key let up part of the way repeats faster, and long before it is back.
  EXPECT_GT(one.partial.unbroken, one.full.unbroken + 1);
  EXPECT_LT(one.second.least_set, 0.5 * study::demo().set_up.regulated.dip);
  EXPECT_GE(one.second.least_good, one.second.least_sounding);
  EXPECT_GT(one.second.least_sounding,
            study::demo().set_up.regulated.dip - study::demo().set_up.regulated.dip_let_off - 0.5e-3)
      << "no second blow while the key is only taken out of its aftertouch";
}

TEST(Repetition, AStopAnswersNothing) {
  RepetitionOptions o = small();
  int asked = 0;
  o.progress = [&](double) { return ++asked < 3; };
  EXPECT_FALSE(find_repetition(study::demo().description, 0, study::demo().set_up, o).complete);
  EXPECT_LE(asked, 4);
}

// Each influence changes what it names and nothing else.
TEST(Repetition, InfluencesChangeWhatTheySay) {
  const auto varied = [](const std::string& kind, int way) {
    Varied v{study::demo().description, 0, study::demo().set_up.design, study::demo().set_up.regulated.screws,
             40e-3};
    bool found = false;
    for (const Influencer& i : known_influences())
      if (i.kind == kind) {
        i.apply(v, way);
        found = true;
      }
    EXPECT_TRUE(found) << kind;
    return v;
  };
  const action::ActionDesign& d = study::demo().set_up.design;
  const Varied rub = varied("friction everywhere", 1);
  EXPECT_NEAR(
      rub.design.laws[action::kLeverKnuckle].friction.mu() / d.laws[action::kLeverKnuckle].friction.mu(),
      1.25, 1e-12);
  EXPECT_NEAR(rub.design.pivots[action::kJackCentre].coulomb() / d.pivots[action::kJackCentre].coulomb(),
              1.25, 1e-12);
  EXPECT_EQ(rub.screws, study::demo().set_up.regulated.screws);
  const Varied key = varied("key's inertia", -1);
  const auto inertia = [](const action::BodyMass& b) { return b.inertia_cm + b.mass * b.p_cm.squaredNorm(); };
  EXPECT_NEAR(inertia(key.design.masses[action::kKey]) / inertia(d.masses[action::kKey]), 0.8, 1e-12);
  EXPECT_EQ(key.design.masses[action::kKey].mass, d.masses[action::kKey].mass);
  const Varied check = varied("check height", 1);
  EXPECT_NEAR(check.screws[action::kBackCheck] - study::demo().set_up.regulated.screws[action::kBackCheck],
              0.5e-3, 1e-15);
  EXPECT_NEAR(varied("finger's way up", -1).up_time, 30e-3, 1e-15);
}

}  // namespace
}  // namespace leverwright::playing

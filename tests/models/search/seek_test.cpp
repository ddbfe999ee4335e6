// Seek: its optimum is that of a brute-force map, targets are met where they can be, and what cannot be used
// is excluded and told.
#include "models/search/seek.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstring>

#include "models/remedies/read_case.h"
#include "models/search/read_seek.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::search {
namespace {

constexpr double kGf = base::kGramForce;

const case_file::CaseDescription& heel() {
  static const auto d = remedies::read_case("cases/sought_heel/case.toml");
  return d;
}

Seek named(const std::string& name) {
  for (Seek& s : read_seeks(heel()))
    if (s.name == name) return s;
  ADD_FAILURE() << "no " << name;
  return {};
}

const SeekResult& shim_sought() {
  static const SeekResult r = seek(heel(), named("contact on the line"));
  return r;
}

TEST(Seek, IsReadWithItsBoundsAndLimits) {
  const Seek s = named("least slide friction");
  ASSERT_EQ(s.vary.size(), 2u);
  EXPECT_EQ(s.vary[0].argument, "shift");
  EXPECT_DOUBLE_EQ(s.vary[0].from, -2e-3);
  EXPECT_DOUBLE_EQ(s.vary[1].to, 6e-3);
  ASSERT_EQ(s.limits.size(), 1u);
  EXPECT_DOUBLE_EQ(s.limits[0].low, 0.5e-3);
  EXPECT_TRUE(std::isinf(s.limits[0].high));
  EXPECT_EQ(s.number, std::size_t{study::kCapstanFriction});
  EXPECT_EQ(with_amounts(heel(), s, {1e-3, 2e-3}).changes[0].quantities.at("shim").value, 2e-3);
}

// Closed form: contact on the line of centres; the slide there nearly vanishes (Aronhold-Kennedy).
TEST(Seek, BringsTheContactOnToTheLineOfCentres) {
  const SeekResult& r = shim_sought();
  ASSERT_TRUE(r.met);
  EXPECT_NEAR(r.best.trial.numbers[study::kLineDistance], 0, 0.02e-3 * (1 + 1e-9));
  EXPECT_LT(r.best.trial.numbers[study::kCapstanFriction], 0.2 * r.base.numbers[study::kCapstanFriction]);
  EXPECT_NEAR(r.best.amounts[0], r.base.numbers[study::kLineDistance], 0.6e-3)
      << "the heel comes down by the shim";
  EXPECT_LT(r.noise, 0.02e-3);
}

// A coarse seek of one amount against a finer map of the same.
TEST(Seek, FindsTheLeastThatABruteForceMapConfirms) {
  Seek s = named("least slide friction");
  s.vary.erase(s.vary.begin());  // the shim alone, shift as written
  s.limits.clear();
  const SeekResult r = seek(heel(), s);
  const AmountMap map = map_amounts(heel(), s, {41});
  ASSERT_TRUE(r.whole && map.whole && r.best.trial.ok);
  ASSERT_EQ(map.best.size(), 1u);
  const auto& values = map.values[study::kCapstanFriction];
  double least = 1e9;
  for (const double v : values)
    if (std::isfinite(v)) least = std::min(least, v);
  EXPECT_LE(r.best_possible, least + 0.002 * kGf);
  EXPECT_GE(r.best_possible, -1e-12);  // rounding of a sum that is nothing
  EXPECT_LE(r.best.trial.numbers[study::kCapstanFriction], r.best_possible + s.within * (1 + 1e-9));
  EXPECT_LE(r.best.amounts[0], map.best[0] + 0.2e-3)
      << "no more change than the map's own best, to two cells";
  EXPECT_LE(r.flat_low[0], map.best[0] + 0.1e-3);
  EXPECT_GE(r.flat_high[0], map.best[0] - 0.1e-3);
  EXPECT_GE(r.best.amounts[0], r.flat_low[0]);
  EXPECT_LE(r.best.amounts[0], r.flat_high[0]);
}

// 5 gf of front weight is 5 gf of balance weight (key level), so the lead's moment is known in closed form.
TEST(Seek, LeadForABalanceWeightIsTheLeadOfTheStaticBalance) {
  Seek s = named("lead for the balance weight");
  s.vary.pop_back();  // the mass alone, where the case puts it
  const SeekResult r = seek(heel(), s);
  ASSERT_TRUE(r.met);
  const double wanted = r.base.numbers[study::kBalanceWeight] - s.target;
  const double moment = r.best.amounts[0] * 0.140 * base::kGravity;
  EXPECT_NEAR(moment / 0.246 / kGf, wanted / kGf, 0.35);
  EXPECT_LE(r.best.trial.numbers[study::kFrontWeight], 32 * kGf + 1e-6);
}

TEST(Seek, SaysWhatIsPossibleAtBestWhereATargetCannotBeMet) {
  const SeekResult r = seek(heel(), named("too much asked"));
  EXPECT_FALSE(r.met);
  ASSERT_TRUE(r.best.trial.ok && r.limits_kept);
  // The limit lets the front weight rise by so much, and the balance weight fall by as much.
  const double most = 32 * kGf - r.base.numbers[study::kFrontWeight];
  EXPECT_NEAR(r.best.trial.numbers[study::kFrontWeight] / kGf, 32, 0.1);
  EXPECT_NEAR((r.base.numbers[study::kBalanceWeight] - r.best.trial.numbers[study::kBalanceWeight]) / kGf,
              most / kGf, 0.35);
  EXPECT_NEAR(r.reach_low, r.best.trial.numbers[study::kBalanceWeight], 1e-9);
}

TEST(Seek, ExcludesWhatCannotBeRegulatedAndTellsWhy) {
  Seek s = named("contact on the line");
  s.vary[0].to = 40e-3;  // far more shim than the capstan's thread
  const AmountMap map = map_amounts(heel(), s, {9});
  EXPECT_GT(map.excluded, 0);
  EXPECT_LT(map.excluded, 9);
  for (std::size_t k = 0; k < map.why.size(); ++k)
    EXPECT_EQ(map.why[k].empty(), std::isfinite(map.values[study::kDownWeight][k])) << k;
}

TEST(Seek, SameBitsOnAnyNumberOfThreads) {
  const Seek s = named("capstan place and lean");
  SeekOptions one, four;
  one.threads = 1;
  four.threads = 4;
  const AmountMap a = map_amounts(heel(), s, {4, 3}, one), b = map_amounts(heel(), s, {4, 3}, four);
  for (std::size_t k = 0; k < kTrialNumberCount; ++k)
    EXPECT_EQ(std::memcmp(a.values[k].data(), b.values[k].data(), a.values[k].size() * sizeof(double)), 0);
  EXPECT_EQ(a.best, b.best);
  const SeekResult &c = shim_sought(), d = seek(heel(), named("contact on the line"), four);
  EXPECT_EQ(c.best.amounts, d.best.amounts);
  EXPECT_EQ(c.tried, d.tried);
}

TEST(Seek, KeepsWhatWasComputedWhenStopped) {
  const Seek s = named("least slide friction");
  SeekOptions options;
  options.threads = 1;
  int asked = 0;
  options.progress = [&](double share) {
    EXPECT_GE(share, 0);
    EXPECT_LE(share, 1);
    return ++asked < 5;
  };
  const AmountMap map = map_amounts(heel(), s, {5, 5}, options);
  EXPECT_FALSE(map.whole);
  EXPECT_EQ(map.done, 5);
  EXPECT_FALSE(map.best.empty());
  asked = 0;
  const SeekResult r = seek(heel(), s, options);
  EXPECT_FALSE(r.whole);
  EXPECT_TRUE(r.best.trial.ok);
}

TEST(Judge, LimitsGoBeforeTheNumberAndUnknownIsWorst) {
  Seek s;
  s.number = study::kFriction;
  s.aim = Aim::kReach;
  s.target = 10;
  s.limits = {{study::kFrontWeight, -INFINITY, 0.3}};
  TrialNumbers n{};
  n[study::kFriction] = 12;
  n[study::kFrontWeight] = 0.2;
  EXPECT_EQ(judge(s, n).violation, 0);
  EXPECT_EQ(judge(s, n).cost, 2);
  TrialNumbers over = n;
  over[study::kFriction] = 10;
  over[study::kFrontWeight] = 0.4;
  EXPECT_TRUE(better(judge(s, n), judge(s, over)));
  TrialNumbers unknown = n;
  unknown[study::kFriction] = NAN;
  EXPECT_TRUE(better(judge(s, over), judge(s, unknown)));
}

}  // namespace
}  // namespace leverwright::search

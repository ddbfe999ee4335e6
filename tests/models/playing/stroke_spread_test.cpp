// The measurements' uncertainty through the strokes: what takes part, and that the sum is that of single
// moves.
#include "models/playing/stroke_spread.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/read_case.h"

namespace leverwright::playing {
namespace {

// The demo's base, certain of everything but these.
case_file::CaseDescription sure_of_all_but(const std::vector<std::string>& keys) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  for (auto& [key, q] : d.quantities)
    if (std::find(keys.begin(), keys.end(), key) == keys.end()) q.knowledge = case_file::Knowledge::kExact;
  for (auto& [key, list] : d.point_lists) list.sigma = 0;
  for (auto& lead : d.leads) lead.sigma_mass = lead.sigma_distance = 0;
  for (auto& change : d.set_ups.front().changes)
    for (auto& [name, q] : change.quantities) q.sigma = 0;
  return d;
}

TEST(StrokeSpread, TakesInWhatOnlyAMovingHammerFeels) {
  const auto d = sure_of_all_but({"contact.tail_check.test_force", "measured.strike_weight", "string.mass"});
  const auto has = [](const std::vector<study::Input>& inputs, const std::string& key) {
    return std::any_of(inputs.begin(), inputs.end(), [&](const study::Input& i) { return i.key == key; });
  };
  EXPECT_FALSE(has(study::find_inputs(d), "contact.tail_check.test_force"));
  EXPECT_FALSE(has(study::find_inputs(d), "string.mass"));
  EXPECT_TRUE(has(study::find_inputs(d), "measured.strike_weight"));
  for (const char* key : {"contact.tail_check.test_force", "string.mass", "measured.strike_weight"})
    EXPECT_TRUE(has(study::find_inputs(d, true), key)) << key;
  auto stiff = d;
  stiff.choices.at("options.compliant_string") = "off";
  EXPECT_FALSE(has(study::find_inputs(stiff, true), "string.mass"))
      << "a string that is not there moves nothing";
}

TEST(StrokeSpread, IsTheRootOfTheSquaresOfSingleMoves) {
  const auto d = sure_of_all_but({"measured.strike_weight", "friction.hammer_centre"});
  const auto ask = [](const study::SetUpResult& s) {
    Answers out;
    for (const study::PlayedTouch& t : s.touches)
      if (t.found.found) out["held"] = study::find_held_time(t);
    return out;
  };
  SpreadOptions options;
  options.touches = {"p"};
  options.threads = 2;
  const auto spread = find_stroke_spread(d, 0, ask, options);
  ASSERT_EQ(spread.count("held"), 1u);
  const auto alone = [&](const case_file::CaseDescription& one) {
    study::CompareOptions o;
    o.uncertainty = false;
    o.touches = {"p"};
    return ask(study::compare(one, o).set_ups.front()).at("held");
  };
  double variance = 0;
  const auto inputs = study::find_inputs(d, true);
  ASSERT_EQ(inputs.size(), 2u);
  for (const study::Input& i : inputs) variance += std::pow(alone(study::move_input(d, i, 1)) - alone(d), 2);
  EXPECT_GT(variance, 0);
  EXPECT_NEAR(spread.at("held").sigma, std::sqrt(variance), 1e-12);
  EXPECT_EQ(spread.at("held").lost, 0);
  options.progress = [](double) { return false; };
  EXPECT_TRUE(find_stroke_spread(d, 0, ask, options).empty()) << "a stop answers nothing";
}

}  // namespace
}  // namespace leverwright::playing

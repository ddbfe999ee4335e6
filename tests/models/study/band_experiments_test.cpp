// The experiments behind what `bands` says of rows that are out of range; the let-off's own stands in
// models/handbook/let_off_experiment.md. Sizes are those of cases/missed_heel, as found.
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "models/case/read_case.h"
#include "models/study/compare.h"

namespace leverwright::study {
namespace {

using Values = std::vector<std::pair<std::string, double>>;

SetUpResult as_found_with(const Values& values, const std::vector<std::string>& touches) {
  auto d = case_file::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  for (const auto& [key, value] : values) d.quantities.at(key).value = value;
  CompareOptions options;
  options.uncertainty = false;
  options.touches = touches;
  Comparison c = compare(d, options);
  return std::move(c.set_ups.front());
}

// At p most of the time from string to check is the way down, whose speed the hammer felt's loss decides:
// hysteresis alone does not bring it under the 30 ms of the published range, with the loss time at the end of
// its range as well it does, just; with the loss time at the other end the hammer is not held. mf needs no
// excuse.
TEST(BandExperiments, CheckAtSoftTouchWaitsForTheWayDown) {
  const std::string loss = "contact.hammer_string.hysteresis";
  const auto own = as_found_with({}, {"p", "mf"});
  const auto little = as_found_with({{loss, 0.15}}, {"p"}), much = as_found_with({{loss, 0.45}}, {"p"});
  const auto& p = own.touches[0];
  EXPECT_GT(p.stroke.measures.check_time, 30e-3);
  EXPECT_GT(find_held_time(p), 0.85 * p.stroke.measures.check_time) << "most of it is the way down";
  EXPECT_GT(little.touches[0].stroke.measures.rebound_speed, p.stroke.measures.rebound_speed + 0.02);
  EXPECT_LT(much.touches[0].stroke.measures.rebound_speed, p.stroke.measures.rebound_speed - 0.02);
  EXPECT_LT(find_held_time(little.touches[0]), find_held_time(p) - 1e-3);
  EXPECT_GT(find_held_time(much.touches[0]), find_held_time(p) + 1e-3);
  EXPECT_GT(little.touches[0].stroke.measures.check_time, 30e-3);
  const auto kind = as_found_with({{loss, 0.15}, {"contact.hammer_string.loss_time", 0.02e-3}}, {"p"});
  EXPECT_LT(kind.touches[0].stroke.measures.check_time, 30e-3);
  const auto unkind = as_found_with({{"contact.hammer_string.loss_time", 0.2e-3}}, {"p"});
  EXPECT_TRUE(std::isnan(unkind.touches[0].stroke.measures.check_time));
  const double mf = own.touches[1].stroke.measures.check_time;
  EXPECT_GT(mf, 5e-3);
  EXPECT_LT(mf, 30e-3);
}

TEST(BandExperiments, KeyBottomComesLaterWithSofterTouchAndMoreAftertouch) {
  const auto own = as_found_with({}, {});
  const auto deep = as_found_with({{"regulation.dip", 10.7e-3}}, {});
  const auto late = [](const SetUpResult& s, double speed) {
    const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
    return play_at_speed("", speed, s.action, rest).stroke.measures.key_bottom_after_string;
  };
  EXPECT_GT(late(own, 0.3), late(own, 0.5) + 2e-3);
  EXPECT_GT(late(own, 0.25), late(own, 0.3) + 2e-3);
  EXPECT_GT(late(deep, 0.3), late(own, 0.3) + 2e-3);
  EXPECT_TRUE(std::isnan(late(own, 0.18))) << "the least force that carries the hammer leaves the key up";
}

}  // namespace
}  // namespace leverwright::study

// Curves of the validation page: what is published stands as a box, what lies beyond a panel is not drawn on
// its rim, every number is in the CSV.
#include "viz/figures/validation_figures.h"

#include <gtest/gtest.h>

#include <cmath>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {
namespace {

ValidationCurves invented() {
  ValidationCurves v;
  v.title = "an invented note";
  v.key_bottom = {{"pressed", {0.3, 1.0, 6.0}, {17.5, 3.0, -0.9}}};
  v.travel = {{"pressed", {0.3, 1.0, 6.0}, {240, 92, 22}}};
  v.key_bottom_published = {{0.18, 0.35, 10, 35, "very soft"}, {5.5, 6.8, -4, 0, "very loud"}};
  v.travel_published = {{0.18, 6.8, 20, 250, ""}};
  v.dip = {0, 5, 10};
  v.down = {20, 45, 440};
  v.up = {5, 22, std::nan("")};
  v.dip_let_off = 8.6;
  v.contacts.push_back({{"C4", {1, 6}, {2.4, 2.0}}, 1.6, 2.4});
  return v;
}

TEST(ValidationFigures, PublishedRangesAreBoxesAndPointsOutsideAPanelAreLeftOut) {
  const auto c = build_key_bottom(invented());
  ASSERT_EQ(c.panels.size(), 2u);
  EXPECT_EQ(c.panels[0].bars.size(), 2u);
  ASSERT_EQ(c.panels[1].bars.size(), 1u) << "10 to 35 ms lies above the enlarged panel";
  EXPECT_EQ(c.panels[1].bars[0].y0, -4);
  const auto& whole = c.panels[0].series.back();
  const auto& enlarged = c.panels[1].series.back();
  EXPECT_EQ(whole.y[0], 17.5);
  EXPECT_TRUE(std::isnan(enlarged.y[0]));
  EXPECT_EQ(enlarged.y[2], -0.9);
}

TEST(ValidationFigures, EveryNumberIsInTheTable) {
  const ValidationCurves v = invented();
  EXPECT_NE(chart::write_csv(build_key_bottom(v)).find("17.5"), std::string::npos);
  EXPECT_NE(chart::write_csv(build_travel_time(v)).find("240"), std::string::npos);
  EXPECT_NE(chart::write_csv(build_contact_times(v)).find("2.4"), std::string::npos);
  EXPECT_EQ(build_contact_times(v).panels[0].bars.size(), 1u);
  const auto slow = build_slow_force(v);
  EXPECT_EQ(slow.panels[0].series[0].y[1], 45);
  EXPECT_TRUE(std::isnan(slow.panels[0].series[0].y[2])) << "the bottom is beyond the panel";
  ASSERT_EQ(slow.events.size(), 1u);
  EXPECT_EQ(slow.events[0].x, 8.6);
}

}  // namespace
}  // namespace leverwright::figures

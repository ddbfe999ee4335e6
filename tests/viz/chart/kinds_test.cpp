// Maps, bars in groups and uncertainties on charts.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/viz/support/read_back.h"
#include "viz/chart/draw_chart.h"
#include "viz/chart/heat_map.h"
#include "viz/chart/layout.h"

namespace leverwright::chart {
namespace {

HeatMap map_of(double (*f)(double, double), int nx, int ny) {
  HeatMap m;
  m.name = "friction";
  m.unit = "gf";
  for (int i = 0; i < nx; ++i) m.x.push_back(-1.5 + 3.0 * i / (nx - 1));
  for (int j = 0; j < ny; ++j) m.y.push_back(-1.2 + 2.4 * j / (ny - 1));
  for (const double y : m.y)
    for (const double x : m.x) m.values.push_back(f(x, y));
  return m;
}

TEST(HeatMap, EdgesLieHalfWayBetweenMiddles) {
  EXPECT_EQ(find_edges({1, 2, 4}), (std::vector<double>{0.5, 1.5, 3, 5}));
  EXPECT_EQ(find_edges({3}), (std::vector<double>{2.5, 3.5}));
}

TEST(HeatMap, ContourOfAPlaneIsItsStraightLine) {
  const HeatMap m = map_of([](double x, double y) { return 2 * x - 0.7 * y + 0.13; }, 7, 9);
  const auto lines = find_contours(m, 0.41);
  ASSERT_EQ(lines.size(), 1u);
  for (size_t k = 0; k < lines[0].x.size(); ++k)
    EXPECT_NEAR(2 * lines[0].x[k] - 0.7 * lines[0].y[k] + 0.13, 0.41, 1e-12);
  const double low = std::min(lines[0].y.front(), lines[0].y.back()),
               high = std::max(lines[0].y.front(), lines[0].y.back());
  EXPECT_NEAR(low, -1.2, 1e-12);
  EXPECT_NEAR(high, 1.2, 1e-12);
}

TEST(HeatMap, ContourOfABowlIsOneClosedCircle) {
  const HeatMap m = map_of([](double x, double y) { return x * x + y * y; }, 61, 51);
  const auto lines = find_contours(m, 0.81);
  ASSERT_EQ(lines.size(), 1u);
  EXPECT_EQ(lines[0].x.front(), lines[0].x.back());
  double length = 0;
  for (size_t k = 0; k < lines[0].x.size(); ++k) {
    EXPECT_NEAR(std::hypot(lines[0].x[k], lines[0].y[k]), 0.9, 2e-3);
    if (k > 0) length += std::hypot(lines[0].x[k] - lines[0].x[k - 1], lines[0].y[k] - lines[0].y[k - 1]);
  }
  EXPECT_NEAR(length, 2 * 3.14159265 * 0.9, 0.01);
}

TEST(HeatMap, SaddleAndHolesGiveWholeLines) {
  const HeatMap saddle = map_of([](double x, double y) { return x * y + 0.01; }, 8, 8);
  EXPECT_EQ(find_contours(saddle, 0.1).size(), 2u);
  HeatMap hole = map_of([](double x, double) { return x; }, 5, 5);
  hole.values[12] = std::nan("");  // the middle one
  EXPECT_EQ(find_contours(hole, 0.1).size(), 2u);
  EXPECT_TRUE(find_contours(hole, 99).empty());
}

TEST(HeatMap, PanelEndsAtTheOuterCellsAndTheScaleStandsBesideIt) {
  Chart c;
  c.panels.resize(1);
  c.panels[0].map = map_of([](double x, double y) { return 30 * x + y; }, 4, 4);
  const Layout layout = lay_out(c);
  EXPECT_NEAR(layout.panels[0].x.low, -2, 1e-12);
  EXPECT_NEAR(layout.panels[0].y.high, 1.6, 1e-12);
  ASSERT_TRUE(layout.strip);
  EXPECT_GT(layout.strip->left, layout.panels[0].right);
  EXPECT_LT(layout.strip->right, c.width_mm);
  EXPECT_LE(layout.strip->values.low, -46.2);
  EXPECT_GE(layout.strip->values.high, 46.2);
  const std::string csv = write_csv(c);
  EXPECT_EQ(csv.substr(0, csv.find('\n')), "panel,name,x_quantity,x_unit,y_quantity,y_unit,x,y,value");
  EXPECT_EQ(mock::count(csv, "friction (gf)"), 16);
  EXPECT_NE(csv.find(",-1.5,-1.2,-46.2\n"), std::string::npos) << csv;
}

TEST(Spread, ReachesIntoRangeScriptAndCsv) {
  Chart c;
  c.panels.resize(1);
  Series s;
  s.name = "down weight";
  s.x = {1, 2, 3};
  s.y = {50, 51, 52};
  s.low = {20, 49, std::nan("")};
  s.high = {53, 93, std::nan("")};
  c.panels[0].series = {s};
  const Layout layout = lay_out(c);
  EXPECT_LE(layout.panels[0].y.low, 20);
  EXPECT_GE(layout.panels[0].y.high, 93);
  EXPECT_NE(write_script(c, Format::kSvg, "x").find("3 52 NaN NaN\n"), std::string::npos);
  EXPECT_NE(write_script(c, Format::kSvg, "x").find("yerrorbars"), std::string::npos);
  c.panels[0].series[0].band = true;
  EXPECT_NE(write_script(c, Format::kSvg, "x").find("filledcurves"), std::string::npos);
  EXPECT_NE(write_csv(c).find(",2,51,49,93\n"), std::string::npos) << write_csv(c);
}

TEST(Kinds, AreDrawnAsVectorsWithRealWords) {
  const support::ScratchFolder folder;
  Chart map;
  map.title = "map";
  map.panels.resize(1);
  map.panels[0].map = map_of([](double x, double y) { return 10 * (x * x + y); }, 12, 10);
  map.panels[0].map->contours = {5, 15};
  draw_chart(map, folder.path("map"));
  const std::string svg = support::read_text(folder.path("map.svg"));
  EXPECT_EQ(mock::count(svg, "<image"), 0) << "cells are drawn, not pasted";
  EXPECT_GE(mock::count(svg, ">15<"), 1) << "the contour's number, as words";
  EXPECT_GE(mock::count(svg, "friction"), 1);
}

}  // namespace
}  // namespace leverwright::chart

// Profiles of a keyboard from its results file.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "models/keyboard/write_keyboard.h"
#include "models/remedies/read_case.h"
#include "tests/support/scratch_folder.h"
#include "viz/figures/keyboard_figure.h"

namespace leverwright::figures {
namespace {

struct Stored {
  keyboard::Keyboard keyboard;
  const support::ScratchFolder folder;
  const std::string path = folder.path("keyboard.h5");
  Stored() {
    const auto d = remedies::read_case("cases/samples_to_88/case.toml");
    keyboard::KeyboardCase input = keyboard::read_keyboard(d);
    input.wishes = {keyboard::CapstanWish::kMeasured};
    keyboard::KeyboardOptions o;
    o.uncertainty = false;
    o.notes = {40, 41};
    keyboard = keyboard::study_keyboard(d, input, o);
    keyboard::write_keyboard(d, keyboard, path);
  }
};

const Stored& stored() {
  static const Stored one;
  return one;
}

const chart::Series* find(const chart::Panel& p, const std::string& name) {
  for (const auto& s : p.series)
    if (s.name == name) return &s;
  return nullptr;
}

TEST(KeyboardFigure, ShowsWhatIsStored) {
  const auto charts = build_keyboard(stored().path);
  std::vector<std::string> stems;
  for (const auto& c : charts) stems.push_back(c.stem);
  EXPECT_EQ(stems, (std::vector<std::string>{"keyboard_weights", "keyboard_capstan_line", "keyboard_leads",
                                             "keyboard_carried_1", "keyboard_carried_2", "keyboard_carried_3",
                                             "keyboard_carried_4"}));
  const chart::Panel& place = charts[1].chart.panels.front();
  const chart::Series* line = find(place, "straight line, least squares");
  ASSERT_NE(line, nullptr);
  ASSERT_EQ(line->y.size(), 88u);
  for (const std::size_t i : {0u, 40u, 87u})
    EXPECT_NEAR(line->y[i], stored().keyboard.wanted[0].squares.place[i] * 1e3, 1e-9);
  const chart::Series *naturals = find(place, "naturals: wanted, 95 %"),
                      *sharps = find(place, "sharps: wanted, 95 %");
  ASSERT_TRUE(naturals && sharps);
  EXPECT_EQ(naturals->x.size(), 52u);
  EXPECT_EQ(sharps->x.size(), 36u);
  // Every lead of the two keys is a mark, and the one that is not like the others is named where it is.
  std::size_t marks = 0, leads = 0, named = 0;
  for (const auto& s : charts[2].chart.panels.front().series) marks += s.x.size();
  for (const std::size_t i : {39u, 40u}) leads += stored().keyboard.leads[i].plans[0].leads.size();
  EXPECT_EQ(marks, leads);
  for (const auto& c : charts)
    for (const auto& p : c.chart.panels)
      for (const auto& n : p.notes) {
        ++named;
        EXPECT_EQ(n.x, 67);
        EXPECT_NEAR(n.y, 20.0, 1e-9);
        EXPECT_EQ(p.y.label, "wippen weight");
      }
  EXPECT_EQ(named, 1u);
}

TEST(KeyboardFigure, WhatWasNotMeasuredHasTheWiderBand) {
  for (const auto& c : build_keyboard(stored().path))
    for (const auto& p : c.chart.panels) {
      if (p.y.label != "strike weight") continue;
      const chart::Series& band = p.series.front();
      ASSERT_EQ(band.x.size(), 88u);
      const auto width = [&](std::size_t i) { return band.high[i] - band.low[i]; };
      EXPECT_GT(width(87), width(60));
      EXPECT_GT(width(0), width(30));
    }
}

}  // namespace
}  // namespace leverwright::figures

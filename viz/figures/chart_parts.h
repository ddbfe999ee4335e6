// What the charts of a study share: units, lines and axes, times of events.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "sim/base/units.h"
#include "viz/chart/chart.h"
#include "viz/study_file/curves.h"

namespace leverwright::figures {

inline constexpr double kMm = 1 / base::kMillimetre, kGf = 1 / base::kGramForce, kMs = 1e3,
                        kMilliJoule = 1e3;  // from SI

std::vector<double> times(const std::vector<double>& values, double factor);
// In the colour and dashes of the set-up.
chart::Series line(size_t set_up, const std::string& name, std::vector<double> x = {},
                   std::vector<double> y = {});
chart::Axis axis(const std::string& label, const std::string& unit);
// The first set-up's lines are drawn last and thicker, so that no other hides what the others are compared with; lines
// that no eye tells apart from an earlier one (1 part in 250 of the panel's range) are merged with it and named
// together, "as found = friction only". All stay in the CSV.
void put_base_last(chart::Chart* chart);
// Beside lines over a common x: how much each differs from the first, as a panel of its own; nothing for one line.
// `factor` turns the difference into the axis' unit.
std::optional<chart::Panel> build_difference(const chart::Panel& of, const std::string& label,
                                             const std::string& unit, double factor = 1);
inline constexpr double kBand95 = 1.96;  // standard deviations either side: 95 % of normal draws
std::string titled(const std::string& title, const std::string& what);  // "title: what"
// Value of a curve at x by straight lines between its points; NaN outside.
double value_at(const std::vector<double>& x, const std::vector<double>& y, double at);
// NaN when the stroke has no such event.
double time_of(const study_file::Stroke& stroke, const std::string& event);
// From just before the key starts until just after the check (or the string, or the end).
std::pair<double, double> window_of(const study_file::Stroke& stroke);
// The strokes of one touch: mf where there is one, else the first.
std::vector<study_file::Stroke> strokes_to_show(const std::vector<study_file::Stroke>& strokes);
// "let-off" -> "let_off"
std::string stem_word(const std::string& text);

}  // namespace leverwright::figures

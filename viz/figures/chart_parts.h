// What the charts of a study share: units, lines and axes, times of events.
#pragma once
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

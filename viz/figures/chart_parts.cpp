#include "viz/figures/chart_parts.h"

#include <cmath>

namespace leverwright::figures {

using chart::Series;

std::vector<double> times(const std::vector<double>& v, double factor) {
  std::vector<double> out;
  out.reserve(v.size());
  for (const double x : v) out.push_back(factor * x);
  return out;
}

chart::Series line(size_t set_up, const std::string& name, std::vector<double> x, std::vector<double> y) {
  const int i = static_cast<int>(set_up);
  Series s;
  s.name = name;
  s.x = std::move(x);
  s.y = std::move(y);
  s.role = scene::set_up_role(i);
  s.dashes = scene::set_up_dash(i);
  s.width_mm = 0.5;
  return s;
}

chart::Axis axis(const std::string& label, const std::string& unit) {
  chart::Axis a;
  a.label = label;
  a.unit = unit;
  return a;
}

double value_at(const std::vector<double>& x, const std::vector<double>& y, double at) {
  for (size_t i = 0; i + 1 < x.size() && i + 1 < y.size(); ++i) {
    const double a = x[i], b = x[i + 1];
    if ((at - a) * (at - b) <= 0 && a != b) return y[i] + (y[i + 1] - y[i]) * (at - a) / (b - a);
  }
  return std::nan("");
}

std::string titled(const std::string& title, const std::string& what) {
  return title.empty() ? what : title + ": " + what;
}

double time_of(const study_file::Stroke& s, const std::string& event) {
  for (const study_file::Event& e : s.events)
    if (e.name == event) return e.time;
  return std::nan("");
}

std::pair<double, double> window_of(const study_file::Stroke& s) {
  const double start = time_of(s, "key start"), check = time_of(s, "check"),
               string = time_of(s, "string contact");
  double to = s.time.empty() ? 0 : s.time.back();
  if (std::isfinite(check))
    to = check + 10e-3;
  else if (std::isfinite(string))
    to = string + 60e-3;
  return {std::isfinite(start) ? start - 5e-3 : 0.0, to};
}

std::vector<study_file::Stroke> strokes_to_show(const std::vector<study_file::Stroke>& strokes) {
  std::vector<study_file::Stroke> out;
  if (strokes.empty()) return out;
  std::string touch = strokes.front().touch;
  for (const study_file::Stroke& s : strokes)
    if (s.touch == "mf") touch = "mf";
  for (const study_file::Stroke& s : strokes)
    if (s.touch == touch) out.push_back(s);
  return out;
}

std::string stem_word(const std::string& text) {
  std::string out;
  for (const char c : text)
    out += (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c
           : c >= 'A' && c <= 'Z'                           ? static_cast<char>(c - 'A' + 'a')
                                                            : '_';
  return out;
}

}  // namespace leverwright::figures

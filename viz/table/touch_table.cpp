#include "viz/table/touch_table.h"

#include <fmt/format.h>

#include <cmath>
#include <functional>

namespace leverwright::table {

namespace {

using action::StrokeMeasures;

struct Row {
  const char* label;
  const char* unit;
  int decimals;
  double factor;
  std::function<double(const PlayedTouch&)> value;
};

const std::vector<Row>& rows() {
  static const std::vector<Row> list = {
      {"hammer speed at the string", "m/s", 2, 1,
       [](const PlayedTouch& t) { return t.stroke.measures.hammer_speed; }},
      {"finger's steady force", "N", 2, 1, [](const PlayedTouch& t) { return t.found.touch.plateau; }},
      {"key start to string", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.travel_time; }},
      {"key start to key bottom", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.key_descent_time; }},
      {"key bottom after string (minus: before)", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.key_bottom_after_string; }},
      {"hammer flies free before the string", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.free_flight; }},
      {"hammer on the string", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.string_time; }},
      {"string to check", "ms", 1, 1e3, [](const PlayedTouch& t) { return t.stroke.measures.check_time; }},
      {"caught below the string", "mm", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.check_distance; }},
      {"release to jack reset", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return t.stroke.measures.jack_reset_time; }},
      {"greatest key speed", "m/s", 2, 1,
       [](const PlayedTouch& t) { return t.stroke.measures.peak_key_speed; }},
      {"greatest finger force", "N", 1, 1, [](const PlayedTouch& t) { return t.stroke.measures.peak_force; }},
  };
  return list;
}

}  // namespace

std::string stroke_words(const PlayedTouch& t) {
  if (!t.found.found) return "this touch was not found: " + t.found.advice;
  if (!t.stroke.stopped.empty()) return "stopped: " + t.stroke.stopped;
  std::string out;
  const auto say = [&](const std::string& text) { out += (out.empty() ? "" : ", ") + text; };
  if (t.stroke.happened(action::kLetOff)) say("lets off");
  if (t.stroke.happened(action::kStringContact)) say("reaches the string");
  if (t.stroke.happened(action::kCheck)) say("is caught");
  if (t.stroke.happened(action::kJackReset)) say("resets");
  for (const action::Fault fault : t.stroke.faults) say(std::string("FAULT: ") + action::name_of(fault));
  return out;
}

std::string write_touches(const std::string& set_up, const std::vector<PlayedTouch>& touches,
                          const Look& look) {
  std::vector<int> widths{40, 4};
  widths.resize(2 + touches.size(), 8);
  Grid grid(widths);
  std::vector<Cell> names{{set_up, Colour::kHeading}, {""}};
  for (const auto& t : touches) names.push_back({t.name, Colour::kHeading, true});
  grid.add(names);
  grid.add_rule();
  for (const Row& row : rows()) {
    std::vector<Cell> cells{{row.label}, {row.unit, Colour::kQuiet}};
    for (const auto& t : touches)
      cells.push_back(
          {t.found.found ? fixed(row.value(t) * row.factor, row.decimals) : "-", Colour::kPlain, true});
    grid.add(cells);
  }
  std::string out = grid.write(look) + "\n";
  for (const auto& t : touches) {
    const std::string words = stroke_words(t);
    const std::string line = wrap(fmt::format("{}: {}", t.name, words), look.width, "", "    ");
    out += words.find("FAULT") == std::string::npos && t.found.found
               ? line
               : paint(line.substr(0, line.size() - 1), Colour::kBad, look) + "\n";
  }
  return out;
}

}  // namespace leverwright::table

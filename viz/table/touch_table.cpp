#include "viz/table/touch_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "models/action/fault_report.h"
#include "models/study/write_strokes.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

namespace {

using action::StrokeMeasures;

using action::kNeedsNoCheck;

struct Row {
  const char* label;
  const char* unit;
  int decimals;
  double factor;
  std::function<double(const PlayedTouch&)> value;
};

double hand_speed(const PlayedTouch& t) {
  return t.kind == "struck" || t.kind == "finger" ? t.finger.speed : std::nan("");
}

const std::vector<Row>& rows() {
  static const std::vector<Row> list = {
      {"hammer speed at the string", "m/s", 2, 1,
       [](const PlayedTouch& t) { return t.stroke.measures.hammer_speed; }},
      {"finger's steady force", "N", 2, 1, [](const PlayedTouch& t) { return t.found.touch.plateau; }},
      {"speed of the hand", "m/s", 3, 1, [](const PlayedTouch& t) { return hand_speed(t); }},
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
      {"string to hammer held within 0.5 mm", "ms", 1, 1e3,
       [](const PlayedTouch& t) { return study::find_held_time(t); }},
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
  if (t.stroke.happened(action::kJackTrips)) say("lets off");
  if (t.stroke.happened(action::kStringContact)) say("reaches the string");
  if (t.stroke.happened(action::kCheck)) say("is caught");
  if (t.stroke.happened(action::kJackReset)) say("resets");
  for (const action::Fault fault : t.stroke.faults) {
    const bool soft = t.stroke.measures.hammer_speed < kNeedsNoCheck;
    if (soft && fault == action::Fault::kFailedCheck)
      say("is not caught, as may be at so soft a touch");
    else if (soft && fault == action::Fault::kBobbling && t.stroke.has(action::Fault::kFailedCheck))
      say("bounces uncaught, as may be at so soft a touch");
    else
      say(std::string("FAULT: ") + action::name_of(fault));
  }
  return out;
}

std::string write_touches(const std::string& set_up, const std::vector<PlayedTouch>& touches,
                          const Look& look) {
  std::vector<int> widths{42, 4};
  int column = 8;
  for (const auto& t : touches) column = std::max(column, static_cast<int>(t.name.size()) + 1);
  widths.resize(2 + touches.size(), column);
  Grid grid(widths);
  std::vector<Cell> names{{set_up, Colour::kHeading}, {""}};
  for (const auto& t : touches) names.push_back({t.name, Colour::kHeading, true});
  grid.add(names);
  grid.add_rule();
  for (const Row& row : rows()) {
    if (std::none_of(touches.begin(), touches.end(),
                     [&](const PlayedTouch& t) { return std::isfinite(row.value(t)); }))
      continue;
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
    for (const auto& note : t.notes) out += wrap(note, look.width, "    ", "    ");
    for (const auto& text : t.explained) out += wrap(text, look.width, "    - ", "      ");
  }
  return out;
}

namespace {

const PlayedTouch* find_touch(const study::SetUpResult& s, const std::string& name) {
  for (const PlayedTouch& t : s.touches)
    if (t.name == name) return &t;
  return nullptr;
}

struct ComparedRow {
  const char* label;
  const char* number;  // of study::find_touch_numbers
  int decimals;
};

// Value and change against the base, "81.2 +0.4".
std::string changed(double value, double base, bool is_base, int decimals) {
  const std::string text = fixed(value, decimals);
  if (is_base || !std::isfinite(value - base)) return text;
  return text + " " + fixed_signed(value - base, decimals);
}

std::string outcome(const PlayedTouch* t) {
  if (!t) return "-";
  if (!t->found.found) return "not found";
  if (!t->stroke.stopped.empty()) return "stopped";
  if (t->stroke.faults.empty()) return "all";
  std::string out;  // in words
  for (const auto f : t->stroke.faults) out += (out.empty() ? "" : ", ") + std::string(action::name_of(f));
  return out;
}

}  // namespace

std::string write_compared_touches(const study::Comparison& c, const Look& look, bool all) {
  static const std::vector<ComparedRow> rows = {
      {"finger's steady force, N", "steady finger force", 2},
      {"finger's work to key bottom, mJ", "finger work to key bottom", 0},
      {"greatest key speed, m/s", "greatest key speed", 2},
      {"key start to key bottom, ms", "key start to key bottom", 1},
      {"key bottom after string, ms", "key bottom after string", 1},
      {"string to hammer held, ms", "string to hammer held", 1},
      {"string to check, ms", "string to check", 1},
      {"caught below the string, mm", "check distance", 1},
      {"release to jack reset, ms", "release to jack reset", 1},
  };
  constexpr int kColumn = 12;
  std::string out;
  if (c.set_ups.empty()) return out;
  for (const PlayedTouch& of_base : c.set_ups.front().touches) {
    if (!all && of_base.name != kShownTouch) continue;
    AcrossRows lines;
    for (const ComparedRow& row : rows) {
      lines.push_back({row.label, {}});
      double base = std::nan("");
      for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
        const PlayedTouch* t = find_touch(c.set_ups[k], of_base.name);
        double value = std::nan("");
        if (t)
          for (const auto& n : study::find_touch_numbers(*t))
            if (n.name == row.number) value = n.displayed();
        if (k == 0) base = value;
        lines.back().second.push_back(changed(value, base, k == 0, row.decimals));
      }
    }
    lines.push_back({"lets off, strikes, checks, resets", {}});
    for (const auto& s : c.set_ups) lines.back().second.push_back(outcome(find_touch(s, of_base.name)));
    out += (out.empty() ? "" : "\n") + fmt::format("{}, pressed: the hammer meets the string at {} m/s\n",
                                                   of_base.name, fixed(of_base.wanted_speed, 1));
    out += write_across(c, lines, look, kColumn);
  }
  if (out.empty()) return out;
  return out + "\n" +
         wrap(
             "Beside each value its change against the base. Uncertainties are not propagated through "
             "strokes, so no set-up is called better or worse for what is in this part.",
             look.width);
}

}  // namespace leverwright::table

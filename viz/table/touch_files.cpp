// Played touches for other programs: CSV with a row for each number and event, and JSON.
#include <cmath>

#include "models/study/write_strokes.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"
#include "viz/table/touch_table.h"

namespace leverwright::table {

std::string write_touches_csv(const std::string& set_up, const std::vector<PlayedTouch>& touches) {
  std::string out = join_csv({"set_up", "touch", "kind", "quantity", "value", "unit"});
  for (const PlayedTouch& t : touches) {
    const auto row = [&](const std::string& what, double value, const std::string& unit) {
      if (std::isfinite(value)) out += join_csv({set_up, t.name, t.kind, what, csv_number(value), unit});
    };
    for (const auto& n : study::find_touch_numbers(t)) row(n.name, n.displayed(), n.display_unit);
    for (int e = 0; e < action::kStrokeEventCount; ++e)
      row(std::string("event: ") + action::kStrokeEventNames[static_cast<std::size_t>(e)],
          1e3 * t.stroke.event[static_cast<std::size_t>(e)], "ms");
    for (const auto fault : t.stroke.faults)
      out += join_csv({set_up, t.name, t.kind, std::string("fault: ") + action::name_of(fault), "", ""});
  }
  return out;
}

std::string write_touches_json(const std::string& set_up, const std::vector<PlayedTouch>& touches) {
  Json out;
  out["set_up"] = set_up;
  out["touches"] = Json::array();
  for (const PlayedTouch& t : touches) {
    Json one;
    one["name"] = t.name;
    one["kind"] = t.kind;
    one["found"] = t.found.found;
    if (!t.found.found) one["advice"] = t.found.advice;
    if (!t.stroke.stopped.empty()) one["stopped"] = t.stroke.stopped;
    for (const auto& n : study::find_touch_numbers(t))
      if (std::isfinite(n.displayed()))
        one["measures"][n.name] = {{"value", n.displayed()}, {"unit", n.display_unit}};
    for (int e = 0; e < action::kStrokeEventCount; ++e)
      if (t.stroke.happened(static_cast<action::StrokeEvent>(e)))
        one["events_ms"][action::kStrokeEventNames[static_cast<std::size_t>(e)]] =
            1e3 * t.stroke.event[static_cast<std::size_t>(e)];
    one["faults"] = Json::array();
    for (const auto fault : t.stroke.faults) one["faults"].push_back(action::name_of(fault));
    one["explained"] = t.explained;
    one["notes"] = t.notes;
    out["touches"].push_back(one);
  }
  return out.dump(2) + "\n";
}

}  // namespace leverwright::table

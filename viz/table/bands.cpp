#include "viz/table/bands.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <fstream>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/table/csv.h"

namespace leverwright::table {

namespace {

const char* const kHeader = "id,quantity,condition,low,high,unit,source";

bool inside(const Band& band, const BandValue& value) {
  return value.low >= band.low && value.high <= band.high;
}

// Null when nothing was found or it is no number.
const BandValue* find_value(const std::map<std::string, BandValue>& values, const std::string& id) {
  const auto found = values.find(id);
  if (found == values.end() || !std::isfinite(found->second.low) || !std::isfinite(found->second.high))
    return nullptr;
  return &found->second;
}

std::string value_words(const BandValue& v) {
  return v.low == v.high ? fmt::format("{:.3g}", v.low) : fmt::format("{:.3g} to {:.3g}", v.low, v.high);
}

// Hammer's share of the reflected mass at half stroke, per cent.
double hammer_share(const study::SetUpResult& s) {
  const auto half = study::find_half_stroke(s.action, s.regulated);
  if (!half) return std::nan("");
  const auto shares = action::find_reflected_mass(s.action, *half);
  double sum = 0;
  for (const double m : shares) sum += m;
  return 100 * shares[action::kHammer] / sum;
}

}  // namespace

std::vector<Band> read_bands(const std::string& path) {
  std::ifstream in(path);
  if (!in)
    throw base::UserError({base::Problem{path, 0, "", "the table of ranges cannot be read",
                                         "a file with the columns " + std::string(kHeader),
                                         "set LEVERWRIGHT_MODELS to the models folder of this program"}});
  std::vector<Band> bands;
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (number == 1 && line != kHeader)
      throw base::UserError(
          {base::Problem{path, 1, line, "these are not the columns of a table of ranges", kHeader, ""}});
    if (number == 1 || line.empty()) continue;
    const auto fields = split_csv(line);
    Band band;
    char *end_low = nullptr, *end_high = nullptr;
    if (fields.size() == 7) {
      band = {fields[0],
              fields[1],
              fields[2],
              std::strtod(fields[3].c_str(), &end_low),
              std::strtod(fields[4].c_str(), &end_high),
              fields[5],
              fields[6]};
    }
    if (fields.size() != 7 || *end_low != '\0' || *end_high != '\0' || fields[3].empty() ||
        fields[4].empty() || band.low > band.high)
      throw base::UserError({base::Problem{path, number, line, "this row is no range", kHeader, ""}});
    bands.push_back(band);
  }
  return bands;
}

std::map<std::string, BandValue> find_band_values(const study::SetUpResult& s) {
  std::map<std::string, BandValue> out;
  if (!s.weighing.ok) return out;
  const auto& w = s.weighing;
  const auto one = [&](const char* id, double value, const char* note) { out[id] = {value, value, note}; };
  one("down_weight", w.down_weight / base::kGramForce, "slow path");
  one("up_weight", w.up_weight / base::kGramForce, "slow path");
  one("friction", w.friction / base::kGramForce, "slow path");
  one("distance_ratio", w.distance_ratio, "rest to let-off");
  one("let_off_resistance", w.let_off_resistance, "slow path");
  one("reflected_mass", s.measures[study::kReflectedMass], "half stroke");
  one("hammer_share", hammer_share(s), "half stroke");
  return out;
}

std::map<std::string, BandValue> find_band_values(const std::vector<PlayedTouch>& touches) {
  std::map<std::string, BandValue> out;
  const auto note = [&](const char* id, const PlayedTouch& t, double value) {
    if (!std::isfinite(value)) return;
    const auto at = out.find(id);
    if (at == out.end()) {
      out[id] = {value, value, t.name};
      return;
    }
    at->second.low = std::min(at->second.low, value);
    at->second.high = std::max(at->second.high, value);
    at->second.note += ", " + t.name;
  };
  constexpr double kMilli = 1e3, kCaughtFrom = 0.9;  // m/s; softer blows may rightly not be caught
  const PlayedTouch* before = nullptr;
  for (const PlayedTouch& t : touches) {
    if (!t.found.found || !t.stroke.happened(action::kStringContact)) continue;
    const auto& m = t.stroke.measures;
    note("hammer_speed", t, m.hammer_speed);
    note("key_force_pressed", t, m.peak_force);
    note("key_descent", t, m.key_descent_time * kMilli);
    if (t.name == "mf") note("key_speed_mf", t, m.peak_key_speed);
    if (t.name == "f") note("key_speed_f", t, m.peak_key_speed);
    if (t.name == "pp") note("key_bottom_soft", t, m.key_bottom_after_string * kMilli);
    if (t.name == "ff") note("key_bottom_loud", t, m.key_bottom_after_string * kMilli);
    if (m.hammer_speed > kCaughtFrom) note("check_after_string", t, m.check_time * kMilli);
    // Where key bottom and string coincide, between two touches.
    if (before) {
      const double x0 = before->stroke.measures.hammer_speed,
                   y0 = before->stroke.measures.key_bottom_after_string;
      const double y1 = m.key_bottom_after_string;
      if (y0 > 0 && y1 <= 0) {
        note("key_bottom_zero", t, x0 + (m.hammer_speed - x0) * y0 / (y0 - y1));
        out["key_bottom_zero"].note = "between " + before->name + " and " + t.name;
      }
    }
    before = &t;
  }
  return out;
}

std::string write_bands(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values,
                        const Look& look) {
  const int source = std::max(20, look.width - 98);
  Grid grid({26, 13, 14, 11, 3, 7, 16, source}, 1);
  grid.add({{"quantity", Colour::kQuiet},
            {"condition", Colour::kQuiet},
            {"ours", Colour::kQuiet, true},
            {"range", Colour::kQuiet, true},
            {""},
            {""},
            {"ours read off", Colour::kQuiet},
            {"source of the range", Colour::kQuiet}});
  grid.add_rule();
  int in = 0, out = 0;
  for (const Band& band : bands) {
    const BandValue* found = find_value(values, band.id);
    const bool ok = found && inside(band, *found);
    if (found) ++(ok ? in : out);
    grid.add({{band.quantity},
              {band.condition, Colour::kQuiet},
              {found ? value_words(*found) : "-", Colour::kPlain, true},
              {fmt::format("{:g} to {:g}", band.low, band.high), Colour::kPlain, true},
              {band.unit == "1" ? "" : band.unit, Colour::kQuiet},
              {!found ? "not run"
               : ok   ? "in"
                      : "OUT",
               !found ? Colour::kQuiet
               : ok   ? Colour::kGood
                      : Colour::kBad},
              {found ? found->note : "", Colour::kQuiet},
              {band.source, Colour::kQuiet}});
  }
  std::string text = grid.write(look) + "\n";
  text += wrap(fmt::format("{} in, {} out, {} not run. No single action need fall into every range; what is "
                           "not run needs struck touches, "
                           "a compliant string or repeated blows.",
                           in, out, static_cast<int>(bands.size()) - in - out),
               look.width);
  return text;
}

std::string write_bands_csv(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values) {
  std::string out = join_csv({"id", "quantity", "condition", "unit", "ours_low", "ours_high", "low", "high",
                              "result", "read_off", "source"});
  for (const Band& band : bands) {
    const BandValue* found = find_value(values, band.id);
    out += join_csv({band.id, band.quantity, band.condition, band.unit, found ? csv_number(found->low) : "",
                     found ? csv_number(found->high) : "", csv_number(band.low), csv_number(band.high),
                     !found                 ? "not run"
                     : inside(band, *found) ? "in"
                                            : "out",
                     found ? found->note : "", band.source});
  }
  return out;
}

}  // namespace leverwright::table

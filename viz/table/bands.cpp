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

bool inside(const Band& band, double value) { return value >= band.low && value <= band.high; }

// Hammer's share of the reflected mass at half stroke, per cent.
double hammer_share(const study::SetUpResult& s) {
  const run::StaticSample* half = &s.weighing.down.front();
  const double aim = 0.5 * s.regulated.dip_let_off;
  for (const auto& sample : s.weighing.down)
    if (std::abs(sample.travel - aim) < std::abs(half->travel - aim)) half = &sample;
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
  out["down_weight"] = {w.down_weight / base::kGramForce, "slow path"};
  out["up_weight"] = {w.up_weight / base::kGramForce, "slow path"};
  out["friction"] = {w.friction / base::kGramForce, "slow path"};
  out["distance_ratio"] = {w.distance_ratio, "rest to let-off"};
  out["let_off_resistance"] = {w.let_off_resistance, "slow path"};
  out["reflected_mass"] = {s.measures[study::kReflectedMass], "half stroke"};
  out["hammer_share"] = {hammer_share(s), "half stroke"};
  return out;
}

std::string write_bands(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values,
                        const Look& look) {
  const int source = std::max(20, look.width - 92);
  Grid grid({30, 18, 7, 15, 4, 8, source});
  grid.add({{"quantity", Colour::kQuiet},
            {"condition", Colour::kQuiet},
            {"ours", Colour::kQuiet, true},
            {"range", Colour::kQuiet, true},
            {"", Colour::kQuiet},
            {"", Colour::kQuiet},
            {"source of the range", Colour::kQuiet}});
  grid.add_rule();
  int in = 0, out = 0;
  for (const Band& band : bands) {
    const auto found = values.find(band.id);
    const bool known = found != values.end() && std::isfinite(found->second.value);
    const bool ok = known && inside(band, found->second.value);
    if (known) ++(ok ? in : out);
    grid.add({{band.quantity},
              {band.condition, Colour::kQuiet},
              {known ? fmt::format("{:.3g}", found->second.value) : "-", Colour::kPlain, true},
              {fmt::format("{:g} to {:g}", band.low, band.high), Colour::kPlain, true},
              {band.unit == "1" ? "" : band.unit, Colour::kQuiet},
              {!known ? "not run"
               : ok   ? "in"
                      : "OUT",
               !known ? Colour::kQuiet
               : ok   ? Colour::kGood
                      : Colour::kBad},
              {band.source, Colour::kQuiet}});
  }
  std::string text = grid.write(look) + "\n";
  text += wrap(fmt::format("{} in, {} out, {} not run. No single action need fall into every range; \"not "
                           "run\" needs strokes or options "
                           "that this command does not compute.",
                           in, out, static_cast<int>(bands.size()) - in - out),
               look.width);
  return text;
}

std::string write_bands_csv(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values) {
  std::string out = "id,quantity,condition,unit,ours,low,high,result,source\n";
  for (const Band& band : bands) {
    const auto found = values.find(band.id);
    const bool known = found != values.end() && std::isfinite(found->second.value);
    out +=
        join_csv({band.id, band.quantity, band.condition, band.unit,
                  known ? csv_number(found->second.value) : "", csv_number(band.low), csv_number(band.high),
                  !known                              ? "not run"
                  : inside(band, found->second.value) ? "in"
                                                      : "out",
                  band.source});
  }
  return out;
}

}  // namespace leverwright::table

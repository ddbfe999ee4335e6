// Reading the ranges and holding answers against them.
#include "models/bands/bands.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>

#include "models/case_file/sheet_text.h"
#include "sim/base/error.h"

namespace leverwright::bands {

namespace {

const char* const kHeader = "id,quantity,condition,low,high,unit,source,use";

// Rows that only a run with repeated blows works out.
std::string missing_feature(const std::string& id) {
  static const std::map<std::string, std::string> features = {
      {"repetition", "repeated blows on one note"},
  };
  const auto found = features.find(id);
  return found == features.end() ? "" : found->second;
}

}  // namespace

bool meets(const Band& band, const BandValue& value) {
  constexpr double kFound = 2e-3;  // share to which a touch's speed is found
  if (band.id == "hammer_speed")
    return value.low <= band.low * (1 + kFound) && value.high >= band.high * (1 - kFound);
  return value.low >= band.low && value.high <= band.high;
}

std::string reason_for(const std::string& id) {
  static const std::map<std::string, std::string> reasons = {
      {"key_bottom_soft",
       "it grows as the touch gets softer and with the aftertouch; at the speed the source's greatest value "
       "belongs to, the finger that is just strong enough does not bring the key to its bottom: "
       "models/handbook/hard_to_meet.md"},
      {"key_bottom_zero",
       "it falls with less aftertouch, with a softer balance punching and with a bending shank: "
       "models/handbook/hard_to_meet.md, models/handbook/options.md"},
      {"key_bottom_loud",
       "a bending shank and a balance punching bring the key down earlier: "
       "models/handbook/options.md"},
      {"string_contact_c4",
       "the published string, felt and hammer stay as long by themselves, without an action: 2.5 to 2.6 "
       "ms at 0.5 m/s; the source's figure, about 2, is for no stated loudness and the range a fifth "
       "either way: models/handbook/options.md"},
      {"check_after_string",
       "a bare force that stays as small as p needs lets the key come up again under the hammer that falls "
       "into the check; a finger that holds the key, or a force that grows by a newton at its bottom, brings "
       "it into the range: models/handbook/check_experiment.md"},
      {"key_force_struck",
       "the range is what an actuator was built for, not what was measured; a shank that bends takes 15 N "
       "off the peak at ff and a balance punching 12 N, either brings f into the range: "
       "models/handbook/struck_experiment.md"},
      {"key_force_struck_p",
       "one finger of 200 g strikes at every loudness; a lighter one, as p is played, needs less: "
       "models/handbook/struck_experiment.md"},
      {"key_force_struck_mf",
       "the first push of a finger that falls on the key, twice what carries the hammer at an even force; a "
       "finger of 50 g takes a third off it: models/handbook/struck_experiment.md"},
      {"key_force_struck_ff",
       "a bending shank or a balance punching brings it into the range: "
       "models/handbook/struck_experiment.md"},
      {"key_force_pressed",
       "the force rises to its steady value within 40 ms, which is invented: a quicker finger needs less"},
      {"repetition",
       "the rate hangs on the finger's motion as much as on the action: "
       "models/handbook/repetition.md"},
  };
  const auto found = reasons.find(id);
  return found == reasons.end() ? "" : found->second;
}

const BandValue* find_value(const std::map<std::string, BandValue>& values, const std::string& id) {
  const auto found = values.find(id);
  if (found == values.end() || !std::isfinite(found->second.low) || !std::isfinite(found->second.high))
    return nullptr;
  return &found->second;
}

std::vector<BandValue> split_band_value(const Band& band, const BandValue& value) {
  std::vector<BandValue> out;
  for (const bool wanted : {true, false}) {
    BandValue some;
    for (const auto& [touch, x] : value.parts) {
      if (meets(band, {x, x}) != wanted) continue;
      if (const auto sigma = value.sigmas.find(touch); sigma != value.sigmas.end())
        some.sigmas.insert(*sigma);
      some.low = some.parts.empty() ? x : std::min(some.low, x);
      some.high = some.parts.empty() ? x : std::max(some.high, x);
      some.note += (some.parts.empty() ? "" : ", ") + touch;
      some.parts.emplace_back(touch, x);
    }
    if (!some.parts.empty()) out.push_back(some);
  }
  return out.size() == 2 ? out : std::vector<BandValue>{value};
}

double sigma_at(const BandValue& v, double value) {
  if (v.parts.empty() && !v.sigmas.empty()) return v.sigmas.begin()->second;
  for (const auto& [touch, x] : v.parts)
    if (const auto found = v.sigmas.find(touch); x == value && found != v.sigmas.end()) return found->second;
  return std::nan("");
}

bool reaches(const Band& band, const BandValue& v) {
  constexpr double kSure = 1.96;
  const auto near = [&](double x) {
    const double off = std::max(band.low - x, x - band.high), sigma = sigma_at(v, x);
    return off <= 0 || (std::isfinite(sigma) && off <= kSure * sigma);
  };
  return !meets(band, v) && near(v.low) && near(v.high);
}

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
    const auto fields = case_file::split_fields(line, ',');
    Band band;
    char *end_low = nullptr, *end_high = nullptr;
    if (fields.size() == 8) {
      band = {fields[0],
              fields[1],
              fields[2],
              std::strtod(fields[3].c_str(), &end_low),
              std::strtod(fields[4].c_str(), &end_high),
              fields[5],
              fields[6],
              fields[7]};
    }
    const bool known_use =
        band.use == "check" || band.use == "prior" || band.use == "own" || band.use == "shown";
    if (fields.size() != 8 || !known_use || *end_low != '\0' || *end_high != '\0' || fields[3].empty() ||
        fields[4].empty() || band.low > band.high)
      throw base::UserError({base::Problem{path, number, line, "this row is no range", kHeader, ""}});
    bands.push_back(band);
  }
  return bands;
}

std::map<std::string, double> flatten_band_values(const std::map<std::string, BandValue>& values) {
  std::map<std::string, double> out;
  for (const auto& [id, v] : values) {
    if (v.parts.empty()) out[id] = v.low;
    for (const auto& [touch, x] : v.parts) out[id + "/" + touch] = x;
  }
  return out;
}

void put_sigmas(const std::map<std::string, double>& sigmas, std::map<std::string, BandValue>& values) {
  for (auto& [id, v] : values) {
    const auto put = [&](const std::string& name, const std::string& touch) {
      if (const auto found = sigmas.find(name); found != sigmas.end()) v.sigmas[touch] = found->second;
    };
    if (v.parts.empty()) put(id, "");
    for (const auto& part : v.parts) put(id + "/" + part.first, part.first);
  }
}

std::string judge_band(const Band& band, const std::map<std::string, BandValue>& values) {
  if (const BandValue* found = find_value(values, band.id))
    return band.use == "shown"    ? "shown"
           : !meets(band, *found) ? "out"
           : band.use == "own"    ? "own width"
                                  : "in";
  const std::string feature = missing_feature(band.id);
  return feature.empty() ? "no value" : "not reached: " + feature;
}

}  // namespace leverwright::bands

#include "viz/table/bands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>

#include "models/action/string_blow.h"
#include "models/study/finger_touches.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/table/csv.h"

namespace leverwright::table {

namespace {

constexpr double kCaughtFrom = 0.9;  // m/s; softer blows may rightly not be caught

const char* const kHeader = "id,quantity,condition,low,high,unit,source,use";

// A range of speeds that must be reachable is met by covering it; every other by lying inside.
bool meets(const Band& band, const BandValue& value) {
  constexpr double kFound = 2e-3;  // share to which a touch's speed is found
  if (band.id == "hammer_speed")
    return value.low <= band.low * (1 + kFound) && value.high >= band.high * (1 - kFound);
  return value.low >= band.low && value.high <= band.high;
}

// Rows that wait for what is not built yet.
std::string missing_feature(const std::string& id) {
  static const std::map<std::string, std::string> features = {
      {"repetition", "repeated blows on one note"},
  };
  const auto found = features.find(id);
  return found == features.end() ? "" : found->second;
}

// Why a row may be out, with what was tried on the action of cases/missed_heel.
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
       "the published string, felt and hammer stay as long by themselves, without an action: 2.5 to 2.6 ms "
       "at "
       "0.5 m/s; the source's figure, about 2, is for no stated loudness and the range a fifth either way: "
       "models/handbook/options.md"},
      {"check_after_string",
       "a bare force that stays as small as p needs lets the key come up again under the hammer that falls "
       "into the check; a finger that holds the key, or a force that grows by a newton at its bottom, brings "
       "it into the range: models/handbook/check_experiment.md"},
      {"key_force_struck",
       "the range is what an actuator was built for, not what was measured; a shank that bends takes 15 N "
       "off "
       "the peak at ff and a balance punching 12 N, either brings f into the range: "
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

// Null when nothing was found or it is no number.
const BandValue* find_value(const std::map<std::string, BandValue>& values, const std::string& id) {
  const auto found = values.find(id);
  if (found == values.end() || !std::isfinite(found->second.low) || !std::isfinite(found->second.high))
    return nullptr;
  return &found->second;
}

// The touches that are in and those that are out, each by themselves.
std::vector<BandValue> split(const Band& band, const BandValue& value) {
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

// The uncertainty that belongs to a value of this row; NaN when none was worked out.
double sigma_at(const BandValue& v, double value) {
  if (v.parts.empty() && !v.sigmas.empty()) return v.sigmas.begin()->second;
  for (const auto& [touch, x] : v.parts)
    if (const auto found = v.sigmas.find(touch); x == value && found != v.sigmas.end()) return found->second;
  return std::nan("");
}

std::string value_words(const BandValue& v) {
  const auto words = [&](double x) {
    const double sigma = sigma_at(v, x);
    return std::isfinite(sigma) ? fmt::format("{:.3g} +- {:.2g}", x, sigma) : fmt::format("{:.3g}", x);
  };
  return v.low == v.high ? words(v.low) : words(v.low) + " to " + words(v.high);
}

// Out of the band by less than the row's own uncertainty at 95 %, at every value that is out.
bool reaches(const Band& band, const BandValue& v) {
  constexpr double kSure = 1.96;
  const auto near = [&](double x) {
    const double off = std::max(band.low - x, x - band.high), sigma = sigma_at(v, x);
    return off <= 0 || (std::isfinite(sigma) && off <= kSure * sigma);
  };
  return !meets(band, v) && near(v.low) && near(v.high);
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
    const bool known_use = band.use == "check" || band.use == "prior" || band.use == "shown";
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

std::map<std::string, BandValue> find_band_values(const study::SetUpResult& s) {
  std::map<std::string, BandValue> out;
  if (!s.weighing.ok) return out;
  const auto& w = s.weighing;
  const auto one = [&](const char* id, double value, const char* note) {
    if (std::isfinite(value)) out[id] = {value, value, note};
  };
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
      out[id] = {value, value, t.name, {{t.name, value}}};
      return;
    }
    at->second.low = std::min(at->second.low, value);
    at->second.high = std::max(at->second.high, value);
    at->second.note += ", " + t.name;
    at->second.parts.emplace_back(t.name, value);
  };
  constexpr double kMilli = 1e3, kKeySpeedOfSource = 0.6;  // m/s
  const PlayedTouch* before = nullptr;
  for (const PlayedTouch& t : touches) {
    if (!t.found.found || !t.stroke.happened(action::kStringContact)) continue;
    const auto& m = t.stroke.measures;
    // The source of this range plays keys at 0.1 to 0.6 m/s (its abstract); louder touches are not its
    // matter.
    if (m.peak_key_speed <= kKeySpeedOfSource) note("key_force_pressed", t, m.peak_force);
    note("key_descent", t, m.key_descent_time * kMilli);
    if (t.name == "mf") note("key_speed_mf", t, m.peak_key_speed);
    if (t.name == "f") note("key_speed_f", t, m.peak_key_speed);
    if (t.name == "ff") note("key_bottom_loud", t, m.key_bottom_after_string * kMilli);
    if (m.hammer_speed > kCaughtFrom) {
      note("check_after_string", t, m.check_time * kMilli);
      note("held_after_string", t, study::find_held_time(t) * kMilli);
    }
    // Where key bottom and string coincide, between two touches.
    if (before) {
      const double x0 = before->stroke.measures.hammer_speed,
                   y0 = before->stroke.measures.key_bottom_after_string;
      const double y1 = m.key_bottom_after_string;
      if (y0 > 0 && y1 <= 0) {
        note("key_bottom_zero", t, x0 + (m.hammer_speed - x0) * y0 / (y0 - y1));
        out["key_bottom_zero"].note = "between " + before->name + " and " + t.name;
        out["key_bottom_zero"].parts.clear();
      }
    }
    before = &t;
  }
  return out;
}

std::map<std::string, BandValue> find_string_band_values(const study::SetUpResult& s, int note_number) {
  std::map<std::string, BandValue> out;
  const auto note = [&out](const char* id, const std::string& name, double value) {
    if (!std::isfinite(value)) return;
    BandValue& v = out.try_emplace(id, BandValue{value, value}).first->second;
    v.low = std::min(v.low, value);
    v.high = std::max(v.high, value);
    v.note += (v.parts.empty() ? "" : ", ") + name;
    v.parts.emplace_back(name, value);
  };
  constexpr int kC4 = 40;
  const bool played = note_number == kC4 && s.design.options.has(action::kCompliantString);
  if (played)
    for (const PlayedTouch& t : s.touches)
      if (t.found.found) note("string_contact_c4", t.name, t.stroke.measures.string_time * 1e3);
  for (const auto& [id, published] : {std::pair<const char*, std::size_t>{"string_contact_c2", 0},
                                      std::pair<const char*, std::size_t>{"string_contact_c4", 1},
                                      std::pair<const char*, std::size_t>{"string_contact_c7", 2}}) {
    if (played && published == 1) continue;
    const action::PublishedNote& p = action::kPublishedNotes[published];
    for (const double speed : {1.0, 2.0, 4.5, 6.0}) {
      const auto blow = action::strike_string(p.string, action::felt_of(p, true), p.hammer_mass, speed);
      if (blow.parted) note(id, fmt::format("{:g} m/s", speed), blow.duration * 1e3);
    }
    const auto found = out.find(id);
    if (found != out.end()) found->second.note = "hammer alone, published string: " + found->second.note;
  }
  return out;
}

std::map<std::string, BandValue> find_finger_band_values(const case_file::CaseDescription& d,
                                                         const study::SetUpResult& s) {
  std::map<std::string, BandValue> out;
  if (!s.weighing.ok) return out;
  const auto note = [&out](const char* id, const std::string& name, double value) {
    if (!std::isfinite(value)) return;
    BandValue& v = out.try_emplace(id, BandValue{value, value}).first->second;
    v.low = std::min(v.low, value);
    v.high = std::max(v.high, value);
    v.note += (v.parts.empty() ? "" : ", ") + name;
    v.parts.emplace_back(name, value);
  };
  for (const std::string& touch : study::known_touches())
    for (const bool struck : {true, false}) {
      const bool caught = d.value("touches." + touch) > kCaughtFrom;
      if (!struck && !caught) continue;
      const PlayedTouch t = study::play_finger_touch(d, s, touch, struck);
      if (!t.found.found) continue;
      const auto& m = t.stroke.measures;
      if (struck) note("key_force_struck", touch, m.peak_force);
      if (struck && (touch == "p" || touch == "mf" || touch == "ff"))
        out["key_force_struck_" + touch] = {m.peak_force, m.peak_force, touch + " struck", {}, {}};
      if (caught)
        note("check_after_string", touch + (struck ? " struck" : " by a finger"), m.check_time * 1e3);
    }
  return out;
}

void add_band_values(const std::map<std::string, BandValue>& more, std::map<std::string, BandValue>& values) {
  for (const auto& [id, v] : more) {
    const auto [at, is_new] = values.try_emplace(id, v);
    if (is_new) continue;
    BandValue& all = at->second;
    all.low = std::min(all.low, v.low);
    all.high = std::max(all.high, v.high);
    all.note += ", " + v.note;
    all.parts.insert(all.parts.end(), v.parts.begin(), v.parts.end());
  }
}

std::map<std::string, BandValue> find_extreme_band_values(const study::SetUpResult& s,
                                                          const std::vector<Band>& bands) {
  // m/s. The softest that reach the bottom on a usual note, and the speed the source's greatest value belongs
  // to.
  constexpr double kVerySoft[] = {0.3, 0.25}, kSoftestOfSource = 0.18;
  std::map<std::string, BandValue> out;
  if (!s.weighing.ok) return out;
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  std::string without;
  for (const double speed : {kVerySoft[0], kVerySoft[1], kSoftestOfSource}) {
    const PlayedTouch soft = study::play_at_speed("very soft", speed, s.action, rest);
    if (!soft.found.found) continue;
    const std::string name = fmt::format("{:g} m/s", speed);
    if (!soft.stroke.happened(action::kKeyBottom)) {
      without += (without.empty() ? "; none at " : ", ") + name;
      continue;
    }
    const double ms = soft.stroke.measures.key_bottom_after_string * 1e3;
    BandValue& found = out.try_emplace("key_bottom_soft", BandValue{ms, ms}).first->second;
    found.low = std::min(found.low, ms);
    found.high = std::max(found.high, ms);
    found.note += (found.parts.empty() ? "" : ", ") + name;
    found.parts.emplace_back(name, ms);
  }
  if (out.count("key_bottom_soft")) out["key_bottom_soft"].note += without;
  for (const Band& band : bands) {
    if (band.id != "hammer_speed") continue;
    const PlayedTouch least = study::play_at_speed("softest", band.low, s.action, rest);
    const PlayedTouch most = study::play_at_speed("loudest", band.high, s.action, rest);
    out[band.id] = {least.found.hammer_speed, most.found.hammer_speed, "sought"};
  }
  return out;
}

std::string judge_band(const Band& band, const std::map<std::string, BandValue>& values) {
  if (const BandValue* found = find_value(values, band.id))
    return band.use == "shown" ? "shown" : meets(band, *found) ? "in" : "out";
  const std::string feature = missing_feature(band.id);
  return feature.empty() ? "no value" : "not reached: " + feature;
}

std::vector<BandRow> find_band_rows(const std::vector<Band>& bands,
                                    const std::map<std::string, BandValue>& values) {
  std::vector<BandRow> rows;
  for (const Band& band : bands) {
    const BandValue* found = find_value(values, band.id);
    if (!found) {
      rows.push_back({band, "", judge_band(band, values), "", "", false});
      continue;
    }
    if (band.use == "shown") {
      rows.push_back({band, value_words(*found), "shown", found->note, "", false});
      continue;
    }
    for (const BandValue& part : split(band, *found)) {
      const bool in = meets(band, part);
      rows.push_back({band, value_words(part), in ? "in" : "OUT", part.note, in ? "" : reason_for(band.id),
                      reaches(band, part)});
    }
  }
  return rows;
}

std::string write_bands(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values,
                        const Look& look) {
  const bool uncertain =
      std::any_of(values.begin(), values.end(), [](const auto& v) { return !v.second.sigmas.empty(); });
  const int source = std::max(20, look.width - (uncertain ? 107 : 97));
  Grid grid({26, 13, uncertain ? 24 : 14, 11, 3, 4, 18, source}, 1);
  grid.add({{"quantity", Colour::kQuiet},
            {"condition", Colour::kQuiet},
            {"ours", Colour::kQuiet, true},
            {"range", Colour::kQuiet, true},
            {""},
            {""},
            {"ours read off", Colour::kQuiet},
            {"source of the range", Colour::kQuiet}});
  grid.add_rule();
  int in = 0, out = 0, shown = 0;
  std::vector<std::string> reasons, missing;
  for (const Band& band : bands) {
    const BandValue* found = find_value(values, band.id);
    const std::string judged = judge_band(band, values);
    const std::string name =
        band.condition.empty() ? band.quantity : band.quantity + " (" + band.condition + ")";
    if (!found) {
      missing.push_back(name + ": " + judged);
      continue;
    }
    ++(judged == "in" ? in : judged == "shown" ? shown : out);
    if (judged == "out") {
      const std::string reason = reason_for(band.id);
      bool near = false;
      for (const BandValue& part : split(band, *found)) near = near || reaches(band, part);
      reasons.push_back(name + ": " + (near ? "its own uncertainty reaches the range (95 %); " : "") +
                        (reason.empty() ? "no reason is known; look at the case" : reason));
    }
    bool first = true;
    for (const BandValue& part : judged == "shown" ? std::vector<BandValue>{*found} : split(band, *found)) {
      const bool good = meets(band, part);
      grid.add({{first ? band.quantity : ""},
                {first ? band.condition : "", Colour::kQuiet},
                {value_words(part), Colour::kPlain, true},
                {fmt::format("{:g} to {:g}", band.low, band.high), Colour::kPlain, true},
                {band.unit == "1" ? "" : band.unit, Colour::kQuiet},
                judged == "shown" ? Cell{"-", Colour::kQuiet}
                                  : Cell{good ? "in" : "OUT", good ? Colour::kGood : Colour::kBad},
                {part.note, Colour::kQuiet},
                {first ? band.source : "", Colour::kQuiet}});
      first = false;
    }
  }
  std::string text = grid.write(look) + "\n";
  text +=
      wrap(fmt::format("{} in, {} out, {} not reached. No single action need fall into every range.{}", in,
                       out, missing.size(),
                       shown > 0 ? fmt::format(" {} more without a trustworthy source (-) are shown and not "
                                               "judged.",
                                               shown)
                                 : ""),
           look.width);
  if (!reasons.empty()) text += "\nOut of range, and why\n";
  for (const auto& r : reasons) text += wrap(r, look.width, "- ", "  ");
  const BandValue* held = find_value(values, "held_after_string");
  if (held)
    text += wrap(fmt::format("hammer held within 0.5 mm of where it is caught: {} ms after the string ({})",
                             value_words(*held), held->note),
                 look.width, "- ", "  ");
  if (!missing.empty()) text += "\nNot reached\n";
  for (const auto& m : missing) text += wrap(m, look.width, "- ", "  ");
  return text;
}

std::string write_bands_csv(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values) {
  std::string out =
      join_csv({"id", "quantity", "condition", "unit", "ours_low", "ours_high", "low", "high", "result",
                "read_off", "reason", "source", "ours_low_sigma", "ours_high_sigma", "uncertainty_reaches"});
  for (const Band& band : bands) {
    const BandValue* found = find_value(values, band.id);
    const std::string judged = judge_band(band, values);
    for (const BandValue& part : !found              ? std::vector<BandValue>{{}}
                                 : judged == "shown" ? std::vector<BandValue>{*found}
                                                     : split(band, *found)) {
      const std::string result = !found || judged == "shown" ? judged : meets(band, part) ? "in" : "out";
      out += join_csv({band.id, band.quantity, band.condition, band.unit, found ? csv_number(part.low) : "",
                       found ? csv_number(part.high) : "", csv_number(band.low), csv_number(band.high),
                       result, part.note, result == "out" ? reason_for(band.id) : "", band.source,
                       found ? csv_number(sigma_at(part, part.low)) : "",
                       found ? csv_number(sigma_at(part, part.high)) : "",
                       result == "out" && reaches(band, part) ? "yes" : "no"});
    }
  }
  return out;
}

}  // namespace leverwright::table

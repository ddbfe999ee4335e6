// What weighing, touches, strings and the published extremes answer to the ranges (bands.h).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/action/string_blow.h"
#include "models/bands/bands.h"
#include "models/playing/finger_touches.h"
#include "models/study/quantities.h"
#include "sim/base/units.h"

namespace leverwright::bands {

namespace {

constexpr double kCaughtFrom = 0.9;  // m/s; softer blows may rightly not be caught

// Hammer's share of the reflected mass at half stroke, per cent.
double hammer_share(const study::SetUpResult& s) {
  const auto half = study::find_half_stroke(s.action, s.regulated);
  if (!half) return std::nan("");
  const auto shares = action::find_reflected_mass(s.action, *half);
  double sum = 0;
  for (const double m : shares) sum += m;
  return 100 * shares[action::kHammer] / sum;
}

// One more value of a row, with what gave it; none that does not exist.
void widen(std::map<std::string, BandValue>& values, const char* id, const std::string& name, double value) {
  if (!std::isfinite(value)) return;
  BandValue& v = values.try_emplace(id, BandValue{value, value}).first->second;
  v.low = std::min(v.low, value);
  v.high = std::max(v.high, value);
  v.note += (v.parts.empty() ? "" : ", ") + name;
  v.parts.emplace_back(name, value);
}

}  // namespace

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

std::map<std::string, BandValue> find_band_values(const std::vector<study::PlayedTouch>& touches) {
  std::map<std::string, BandValue> out;
  const auto note = [&out](const char* id, const study::PlayedTouch& t, double value) {
    widen(out, id, t.name, value);
  };
  constexpr double kMilli = 1e3, kKeySpeedOfSource = 0.6;  // m/s
  const study::PlayedTouch* before = nullptr;
  for (const study::PlayedTouch& t : touches) {
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
    widen(out, id, name, value);
  };
  constexpr int kC4 = 40;
  const bool played = note_number == kC4 && s.design.options.has(action::kCompliantString);
  if (played)
    for (const study::PlayedTouch& t : s.touches)
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
    widen(out, id, name, value);
  };
  for (const std::string& touch : study::known_touches())
    for (const bool struck : {true, false}) {
      const bool caught = d.value("touches." + touch) > kCaughtFrom;
      if (!struck && !caught) continue;
      const study::PlayedTouch t = playing::play_finger_touch(d, s, touch, struck);
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
    const study::PlayedTouch soft = study::play_at_speed("very soft", speed, s.action, rest);
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
    const study::PlayedTouch least = study::play_at_speed("softest", band.low, s.action, rest);
    const study::PlayedTouch most = study::play_at_speed("loudest", band.high, s.action, rest);
    out[band.id] = {least.found.hammer_speed, most.found.hammer_speed, "sought"};
  }
  return out;
}

}  // namespace leverwright::bands

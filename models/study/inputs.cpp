#include "models/study/inputs.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "models/case_file/remedy.h"
#include "models/case_file/schema.h"
#include "models/case_file/trade_names.h"

namespace leverwright::study {

using case_file::CaseDescription;
using case_file::Knowledge;

namespace {

bool starts_with(const std::string& text, const std::string& head) {
  return text.compare(0, head.size(), head) == 0;
}

// Sections that are inputs of the mechanics. Dynamic-only properties are left to the strokes.
bool is_input(const std::string& key, bool moving) {
  static const std::array<std::string, 12> kAsFound = {"measured.down_weight",
                                                       "measured.up_weight",
                                                       "measured.dip",
                                                       "measured.blow",
                                                       "measured.let_off",
                                                       "measured.drop",
                                                       "measured.key_friction",
                                                       "measured.hammer_swings",
                                                       "measured.wippen_swings",
                                                       "measured.jack_knuckle_drag",
                                                       "measured.lever_knuckle_drag",
                                                       "measured.capstan_heel_drag"};
  if (std::find(kAsFound.begin(), kAsFound.end(), key) != kAsFound.end()) return false;
  if (key == "measured.aftertouch" || key == "measured.checking") return false;
  if (moving)
    for (const char* head : {"measured.", "friction.", "contact.", "wippen.", "capstan.", "hammer.", "key.",
                             "frame.", "shank.", "balance_punching.", "damper.", "string.", "check_wire."})
      if (starts_with(key, head)) return true;
  if (key.find(".damping") != std::string::npos || key.find(".loss_time") != std::string::npos ||
      key.find("_viscous") != std::string::npos)
    return false;
  // Felt only by a moving hammer, not by weighing.
  for (const case_file::PlaceSpec& place : case_file::schema().places)
    if (!place.weighed && starts_with(key, "contact." + place.name)) return false;
  for (const char* head : {"key.check", "hammer.tail", "frame.rest_rail", "hammer.gyration",
                           "wippen.gyration", "wippen.jack_gyration", "wippen.lever_gyration", "key.density"})
    if (starts_with(key, head)) return false;
  for (const char* head : {"measured.", "friction.", "contact.", "wippen.", "capstan.", "hammer.", "key.",
                           "frame.", "shank.", "balance_punching.", "damper."})
    if (starts_with(key, head)) return true;
  return false;
}

// Numbers of an option that is off, or of a part that weighing leaves out, move nothing.
bool takes_part(const CaseDescription& d, const std::string& key, bool moving) {
  if (starts_with(key, "shank.")) return d.choice("options.shank_bending") == "on";
  if (starts_with(key, "string.")) return d.choice("options.compliant_string") == "on";
  if (starts_with(key, "check_wire.")) return d.choice("options.check_wire") == "on";
  if (starts_with(key, "balance_punching.")) return d.choice("options.balance_punching") == "on";
  if (starts_with(key, "damper."))
    return d.choice("options.damper_lever") == "on" &&
           (moving || d.choice("damper.when_weighed") == "working");
  return true;
}

void describe(const case_file::Quantity& q, Input& in) {
  in.sigma = q.sigma;
  in.uniform = q.knowledge == Knowledge::kEstimate && q.high > q.low;
  if (!in.uniform) return;
  in.from = (q.low - q.value) / q.sigma;
  in.to = (q.high - q.value) / q.sigma;
}

// Where the stack and the string stand is read once for the piano.
bool is_shared(const std::string& key) {
  static const std::array<std::string, 7> kShared = {"measured.spread",
                                                     "measured.wippen_centre_height",
                                                     "measured.hammer_centre_height",
                                                     "measured.balance_hole_height",
                                                     "measured.capstan_top_height",
                                                     "measured.string_height",
                                                     "measured.balance_hole_to_wippen_centre"};
  return std::find(kShared.begin(), kShared.end(), key) != kShared.end();
}

// A friction below nothing does not exist.
bool is_friction(const std::string& key) {
  const std::string tail = ".friction";
  return starts_with(key, "friction.") ||
         (key.size() > tail.size() && key.compare(key.size() - tail.size(), tail.size(), tail) == 0);
}

// A value that sits on a bound of its plausible range must not be moved over it: estimates move inside
// theirs.
double moved(const case_file::Quantity& q, double amount) {
  const double value = q.value + amount * q.sigma;
  if (q.knowledge != Knowledge::kEstimate) return value;
  return std::clamp(value, std::min(q.low, q.value), std::max(q.high, q.value));
}

void shift(CaseDescription& d, const Input& in, double amount) {
  switch (in.kind) {
    case Input::Kind::kQuantity: {
      auto& q = d.quantities.at(in.key);
      q.value = moved(q, amount);
      if (is_friction(in.key)) q.value = std::max(q.value, 0.0);
      break;
    }
    case Input::Kind::kHeelAlong:
      for (double& x : d.point_lists.at(in.key).x) x += amount * in.sigma;
      break;
    case Input::Kind::kHeelAcross:
      for (double& y : d.point_lists.at(in.key).y) y += amount * in.sigma;
      break;
    case Input::Kind::kLeadMass:
      d.leads[in.lead].mass += amount * in.sigma;
      break;
    case Input::Kind::kLeadDistance:
      d.leads[in.lead].distance += amount * in.sigma;
      break;
    case Input::Kind::kChange: {
      auto& change = d.set_ups[in.set_up].changes[in.change];
      auto& q = change.quantities.at(in.key);
      q.value = moved(q, amount);
      if (change.remedy->row.friction_only || is_friction(in.key)) q.value = std::max(q.value, 0.0);
      break;
    }
  }
}

// Readings leave the inputs x (in standard deviations, N(0, 1) before) with the covariance I - V (I - L^2)
// V^T: along the orthonormal combinations V only L is left. Its symmetric root is I - V (I - L) V^T, so x =
// (I - V (I - L) V^T) z with independent z: column i says how the inputs move together when z_i does. Each
// input so stays what it is called and takes with it what keeps the readings.
void tie_together(const std::vector<case_file::Told>& told, std::vector<Input>& inputs) {
  constexpr double kLeast = 0.003;  // smaller companions are left where they are
  const std::vector<Input> alone = inputs;
  std::vector<std::vector<double>> v(told.size(), std::vector<double>(alone.size(), 0.0));
  for (std::size_t k = 0; k < told.size(); ++k)
    for (std::size_t i = 0; i < alone.size(); ++i)
      if (const auto at = told[k].along.find(id_of(alone[i])); at != told[k].along.end())
        v[k][i] = at->second;
  for (std::size_t i = 0; i < alone.size(); ++i)
    for (std::size_t j = 0; j < alone.size(); ++j) {
      double with = 0;
      for (std::size_t k = 0; k < told.size(); ++k) with -= (1 - told[k].left) * v[k][i] * v[k][j];
      if (i == j) {
        inputs[i].weight = 1 + with;
      } else if (std::abs(with) > kLeast) {
        inputs[i].also.push_back(alone[j]);
        inputs[i].also.back().weight = with;
      }
    }
}

}  // namespace

std::vector<Input> find_inputs(const CaseDescription& d, bool moving) {
  std::vector<Input> out;
  for (const auto& [key, q] : d.quantities) {
    if (!is_input(key, moving) || !takes_part(d, key, moving) || q.knowledge == Knowledge::kExact ||
        q.sigma <= 0)
      continue;
    Input in;
    in.key = key;
    in.name = case_file::trade_name(key);
    describe(q, in);
    in.per_note = q.knowledge == Knowledge::kMeasured && !is_shared(key) &&
                  (starts_with(key, "measured.") || starts_with(key, "friction."));
    out.push_back(in);
  }
  const auto heel = d.point_lists.find("wippen.heel_profile");
  if (heel != d.point_lists.end() && heel->second.sigma > 0) {
    Input along, across;
    along.kind = Input::Kind::kHeelAlong;
    along.name = "trace of the heel, along the wippen";
    across.kind = Input::Kind::kHeelAcross;
    across.name = "trace of the heel, height";
    along.key = across.key = "wippen.heel_profile";
    along.sigma = across.sigma = heel->second.sigma;
    out.push_back(along);
    out.push_back(across);
  }
  for (std::size_t k = 0; k < d.leads.size(); ++k) {
    Input in;
    in.lead = static_cast<int>(k);
    in.per_note = true;
    in.kind = Input::Kind::kLeadMass;
    in.name = "lead " + std::to_string(k + 1) + ": mass";
    in.sigma = d.leads[k].sigma_mass;
    if (in.sigma > 0) out.push_back(in);
    in.kind = Input::Kind::kLeadDistance;
    in.name = "lead " + std::to_string(k + 1) + ": place";
    in.sigma = d.leads[k].sigma_distance;
    if (in.sigma > 0) out.push_back(in);
  }
  for (std::size_t s = 0; s < d.set_ups.size(); ++s)
    for (std::size_t c = 0; c < d.set_ups[s].changes.size(); ++c)
      for (const auto& [name, q] : d.set_ups[s].changes[c].quantities) {
        if (q.knowledge == Knowledge::kExact || q.sigma <= 0) continue;
        Input in;
        in.kind = Input::Kind::kChange;
        in.key = name;
        in.name = d.set_ups[s].changes[c].remedy->name_of(d.set_ups[s].changes[c], name);
        describe(q, in);
        in.per_note = !in.uniform;
        in.set_up = static_cast<int>(s);
        in.change = static_cast<int>(c);
        out.push_back(in);
      }
  if (!d.told.empty()) tie_together(d.told, out);
  return out;
}

std::string id_of(const Input& in) {
  return std::to_string(static_cast<int>(in.kind)) + "|" + in.key + "|" + std::to_string(in.lead) + "|" +
         std::to_string(in.set_up) + "|" + std::to_string(in.change);
}

CaseDescription move_input(const CaseDescription& original, const Input& in, double amount) {
  CaseDescription d = original;
  shift(d, in, amount * in.weight);
  for (const Input& other : in.also) shift(d, other, amount * other.weight);
  return d;
}

}  // namespace leverwright::study

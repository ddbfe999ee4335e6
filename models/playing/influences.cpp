#include "models/playing/influences.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/playing/repetition.h"
#include "sim/base/units.h"

namespace leverwright::playing {

namespace {

constexpr double kSpring = 0.2, kJackSpring = 0.3, kCentre = 0.5, kRub = 0.25, kHammer = 0.1, kKey = 0.2,
                 kFinger = 0.25;                       // shares
constexpr double kCheck = 0.5e-3;                      // [m]
constexpr double kFrontWeight = 5 * base::kGramForce;  // [N]

void scale(planar::PivotFriction& p, double factor) {
  p = planar::PivotFriction(p.coulomb() * factor, p.load_radius() * factor, p.viscous() * factor,
                            p.yield_angle());
}

// Every coefficient of the case and of the set-up's own changes; pivots by the caller.
void scale_rubbing(Varied& v, double factor) {
  case_file::CaseDescription d = v.description;
  for (auto& [key, quantity] : d.quantities)
    if (key.rfind("contact.", 0) == 0 && key.size() > 9 && key.compare(key.size() - 9, 9, ".friction") == 0)
      quantity.value *= factor;
  case_file::SetUp set_up = d.set_ups[v.index];
  for (auto& change : set_up.changes)
    if (const auto it = change.quantities.find("coefficient"); it != change.quantities.end())
      it->second.value *= factor;
  v.design.laws = action::design(d, set_up).laws;
}

double inertia_about_pin(const action::BodyMass& b) { return b.inertia_cm + b.mass * b.p_cm.squaredNorm(); }

std::string joined(const std::vector<std::string>& parts) {
  std::string out;
  for (std::size_t k = 0; k < parts.size(); ++k)
    out += (k == 0 ? "" : k + 1 == parts.size() ? " and " : ", ") + parts[k];
  return out;
}

// The way of an influence that moves the limit up, or down, most.
struct Best {
  double change = 0;
  std::string what;
};
Best best_of(const Influence& i, bool full, bool up) {
  const double less = full ? i.full_less : i.partial_less, more = full ? i.full_more : i.partial_more;
  Best b;
  for (const auto& [change, what] : {std::pair{less, i.less}, std::pair{more, i.more}})
    if (up ? change > b.change : change < b.change) b = {change, what};
  return b;
}

std::string words_of(const Repetition& r, bool full) {
  constexpr double kTold = 0.25;  // [1/s]: below it a change is within what the ladder can tell
  std::vector<Best> up, down;
  std::vector<std::string> still;
  for (const Influence& i : r.influences) {
    const Best u = best_of(i, full, true), d = best_of(i, full, false);
    if (u.change >= kTold) up.push_back(u);
    if (d.change <= -kTold) down.push_back(d);
    if (u.change < kTold && d.change > -kTold) still.push_back(i.kind);
  }
  const auto by_size = [](const Best& a, const Best& b) { return std::abs(a.change) > std::abs(b.change); };
  std::stable_sort(up.begin(), up.end(), by_size);
  std::stable_sort(down.begin(), down.end(), by_size);
  const auto list = [](const std::vector<Best>& all) {
    std::vector<std::string> parts;
    for (std::size_t k = 0; k < all.size() && k < 3; ++k)
      parts.push_back(fmt::format("{} ({:+.1f} /s)", all[k].what, all[k].change));
    return joined(parts);
  };
  std::string out = full ? "With full return the limit " : "With partial return the limit ";
  if (up.empty() && down.empty()) return out + "is moved by nothing that was tried. ";
  if (!up.empty()) out += "rises with " + list(up);
  if (!down.empty()) out += (up.empty() ? "falls with " : "; it falls with ") + list(down);
  still.erase(std::unique(still.begin(), still.end()), still.end());
  std::sort(still.begin(), still.end());
  still.erase(std::unique(still.begin(), still.end()), still.end());
  if (!still.empty()) out += "; hardly moved by a change of: " + joined(still);
  return out + ". ";
}

}  // namespace

const std::vector<Influencer>& known_influences() {
  static const std::vector<Influencer> list = {
      {"repetition spring", "repetition spring 20 % weaker", "repetition spring 20 % stronger",
       [](Varied& v, int way) {
         double& setting = v.screws[action::kRepetitionSpring];
         setting += way * kSpring * (v.design.lever_spring.torque + setting);
       }},
      {"jack spring", "jack spring 30 % weaker", "jack spring 30 % stronger",
       [](Varied& v, int way) { v.design.jack_spring.torque *= 1 + way * kJackSpring; }},
      {"check height", "back check 0.5 mm toward the strings", "back check 0.5 mm toward the player",
       [](Varied& v, int way) { v.screws[action::kBackCheck] += way * kCheck; }},
      {"friction at the hammer centre", "hammer centre's friction halved",
       "hammer centre's friction half as much again",
       [](Varied& v, int way) { scale(v.design.pivots[action::kHammerCentre], 1 + way * kCentre); }},
      {"friction everywhere", "every friction 25 % less", "every friction 25 % more",
       [](Varied& v, int way) {
         scale_rubbing(v, 1 + way * kRub);
         for (auto& p : v.design.pivots) scale(p, 1 + way * kRub);
       }},
      {"hammer's mass", "hammer 10 % lighter", "hammer 10 % heavier",
       [](Varied& v, int way) {
         auto& b = v.design.masses[action::kHammer];
         b.mass *= 1 + way * kHammer;
         b.inertia_cm *= 1 + way * kHammer;
       }},
      {"key's inertia", "key's inertia 20 % less at the same balance",
       "key's inertia 20 % more at the same balance",
       [](Varied& v, int way) {
         auto& b = v.design.masses[action::kKey];
         b.inertia_cm += way * kKey * inertia_about_pin(b);
       }},
      {"front weight", "front weight 5 gf less at the same inertia",
       "front weight 5 gf more at the same inertia",
       [](Varied& v, int way) { v.design.assist_torque += way * kFrontWeight * v.design.key_front_arm; }},
      {"finger's way up", "finger up in 25 % less time", "finger up in 25 % more time",
       [](Varied& v, int way) { v.up_time *= 1 + way * kFinger; }},
  };
  return list;
}

std::string write_limit_words(const Repetition& r) {
  std::string out =
      "Full return: " + r.full.failing_words() + ". Partial return: " + r.partial.failing_words() + ". ";
  if (r.influences.empty()) return out;
  return out + words_of(r, true) + words_of(r, false);
}

}  // namespace leverwright::playing

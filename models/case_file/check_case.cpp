#include "models/case_file/check_case.h"

#include <fmt/format.h>

#include <cmath>

#include "models/case_file/consistency.h"
#include "models/case_file/reconcile.h"
#include "models/case_file/remedy.h"
#include "models/case_file/static_balance.h"
#include "sim/base/units.h"

namespace leverwright::case_file {

namespace {

double mm(double metres) { return metres / base::kMillimetre; }

struct Checker {
  CaseDescription& d;
  const FileText& file;
  ProblemList& problems;
  const std::set<std::string>& unreadable;

  // All there and readable.
  bool have(std::initializer_list<const char*> keys) const {
    for (const char* key : keys)
      if (unreadable.count(key) != 0 || !d.has(key)) return false;
    return true;
  }
  void fault(const std::string& key, const std::string& what, const std::string& expected,
             const std::string& advice) {
    const Origin& place = d.quantity(key).place;
    problems.add(
        {place.file.empty() ? file.path : place.file, place.line, place.line_text, what, expected, advice});
  }
};

void check_weights(Checker& c) {
  if (!c.have({"measured.down_weight", "measured.up_weight"})) return;
  if (c.d.value("measured.up_weight") < c.d.value("measured.down_weight")) return;
  c.fault("measured.up_weight", "the up weight is not below the down weight",
          "an up weight below the down weight", "check that the two were not exchanged");
}

void check_regulation(Checker& c) {
  if (c.have({"regulation.spring_rise_low", "regulation.spring_rise_high"}) &&
      c.d.value("regulation.spring_rise_low") >= c.d.value("regulation.spring_rise_high"))
    c.fault("regulation.spring_rise_low", "the slowest rise from check is not below the fastest",
            "spring_rise_low below spring_rise_high", "exchange or correct the two");
  if (c.have({"regulation.checking", "regulation.let_off", "regulation.drop"}) &&
      c.d.value("regulation.checking") <= c.d.value("regulation.let_off") + c.d.value("regulation.drop"))
    c.fault("regulation.checking", "the hammer would be caught above where it falls to after let-off",
            "checking further from the string than let-off and drop together",
            "correct checking, let_off or drop");
}

bool lacks_dome_radius(const CaseDescription& d) {
  return d.choices.count("capstan.cap") != 0 && d.choice("capstan.cap") == "domed" &&
         !d.has("capstan.dome_radius");
}

void check_cap(const Checker& c, const CaseDescription& d, const Origin& place, ProblemList& problems) {
  if (c.unreadable.count("capstan.dome_radius") != 0 || !lacks_dome_radius(d)) return;
  problems.add({place.file.empty() ? c.file.path : place.file, place.line, place.line_text,
                "the capstan's cap is domed, but no dome_radius is given", "dome_radius = \"30 mm +- 1 mm\"",
                "measure it, or call the cap flat"});
}

// The crown stands hypot(length, bore) from the hammer centre and must be able to touch the string.
void check_reach(Checker& c) {
  if (!c.have({"measured.string_height", "measured.hammer_centre_height", "measured.hammer_length",
               "measured.bore"}))
    return;
  const double reach = std::hypot(c.d.value("measured.hammer_length"), c.d.value("measured.bore"));
  const double rise = c.d.value("measured.string_height") - c.d.value("measured.hammer_centre_height");
  if (rise < reach && rise > 0) return;
  c.fault("measured.string_height",
          fmt::format("impossible geometry: the string is {:.1f} mm above the hammer centre, and the crown "
                      "{:.1f} mm from it",
                      mm(rise), mm(reach)),
          "a string the hammer's crown can reach",
          "check string_height, hammer_centre_height, hammer_length and bore");
}

void check_knuckle_arm(Checker& c) {
  if (!c.have({"measured.knuckle_arm", "measured.hanging_distance", "measured.knuckle_diameter"})) return;
  const Quantity &arm = c.d.quantity("measured.knuckle_arm"), &l = c.d.quantity("measured.hanging_distance"),
                 &k = c.d.quantity("measured.knuckle_diameter");
  const double expected = knuckle_arm_of(l.value, k.value);
  constexpr double kShankSpread = 0.3e-3;  // half the shank's thickness is not measured; estimate
  const double sigma = std::hypot(arm.sigma, l.value / expected * l.sigma,
                                  (k.value + 3e-3) / expected * std::hypot(k.sigma, kShankSpread));
  const double misfit = (arm.value - expected) / sigma;
  if (std::abs(misfit) <= kMisfitWarning) return;
  c.d.warnings.push_back(
      fmt::format("measured.knuckle_arm is {:.1f} mm, but hanging_distance and knuckle_diameter make it "
                  "{:.1f} mm ({:.1f} standard deviations). Check that the arm was measured straight to "
                  "the contact and the hanging distance along the shank.",
                  mm(arm.value), mm(expected), std::abs(misfit)));
}

void check_geometry(Checker& c) {
  for (const char* key : kReconciled)
    if (c.unreadable.count(key) != 0) return;
  if (!c.have({"measured.key_front_length"})) return;
  try {
    const ReconciledGeometry geometry = reconcile(c.d);
    c.d.warnings.insert(c.d.warnings.end(), geometry.warnings.begin(), geometry.warnings.end());
  } catch (const base::UserError& error) {
    for (const base::Problem& problem : error.problems()) c.problems.add(problem);
  }
}

void check_set_ups(Checker& c) {
  for (const SetUp& set_up : c.d.set_ups) {
    CaseDescription changed = c.d;
    for (const Change& change : set_up.changes) {
      const bool lacked = lacks_dome_radius(changed);
      try {
        change.remedy->replace_values(changed, change);
      } catch (const base::UserError& error) {
        for (const base::Problem& problem : error.problems()) c.problems.add(problem);
      }
      if (!lacked) check_cap(c, changed, change.place, c.problems);
    }
  }
}

void warn_outside_the_plane(Checker& c) {
  const auto warn = [&](const char* key, const char* what, const char* remedy) {
    if (!c.have({key}) || c.d.choice(key) != "yes") return;
    c.d.warnings.push_back(
        fmt::format("{} was answered yes: {}, which a model in the plane of the action does not see. {}", key,
                    what, remedy));
  };
  warn("bench.sideways_lean", "capstan or heel leans sideways",
       "Straighten it before trusting the friction.");
  warn("bench.twist", "a part is twisted", "Travel and square the parts first.");
  warn("bench.side_offset", "a contact sits off the middle", "Space the parts first.");
}

}  // namespace

void check_case(CaseDescription& description, const FileText& file, const std::set<std::string>& unreadable,
                ProblemList& problems) {
  Checker c{description, file, problems, unreadable};
  check_weights(c);
  check_regulation(c);
  const auto cap_place = description.choice_origins.find("capstan.cap");
  check_cap(c, description, cap_place == description.choice_origins.end() ? Origin{} : cap_place->second,
            problems);
  check_reach(c);
  check_geometry(c);
  check_set_ups(c);
  check_knuckle_arm(c);
  for (const Disagreement& disagreement : find_disagreements(description))
    description.warnings.push_back(disagreement.text);
  warn_outside_the_plane(c);
}

}  // namespace leverwright::case_file

// The demo's note, regulated and weighed, as found or with changes: what the tests of statics start from.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/action/weigh.h"
#include "models/remedies/all.h"
#include "models/remedies/read_case.h"
#include "sim/base/units.h"

namespace leverwright::action {

inline constexpr double kGf = base::kGramForce;

inline const case_file::CaseDescription& demo_case() {
  static const case_file::CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  return d;
}

using Numbers = std::map<std::string, double>;
using Words = std::map<std::string, std::string>;

inline case_file::Change make_change(const std::string& kind, const Numbers& numbers,
                                     const Words& words = {}) {
  case_file::Change c;
  c.remedy = remedies::find(kind);
  for (const auto& [name, value] : numbers) c.quantities[name].value = value;
  c.choices = words;
  return c;
}

// The base set-up of the demo with further changes. The back-rail cloth stays where it levels the base's key.
inline ActionDesign design_with(const std::vector<case_file::Change>& changes) {
  static const double back_rail = [] {
    ActionDesign base = design(demo_case(), demo_case().set_ups.front());
    level_key(base, {});
    return base.back_rail_offset;
  }();
  case_file::SetUp s = demo_case().set_ups.front();
  s.changes.insert(s.changes.end(), changes.begin(), changes.end());
  ActionDesign d = design(demo_case(), s);
  d.back_rail_offset = back_rail;
  return d;
}

struct Prepared {
  ActionDesign design;
  Regulated regulated;
  Action action;
  Weighing weighing;

  // In gf.
  double down() const { return weighing.down_weight / kGf; }
  double up() const { return weighing.up_weight / kGf; }
  double balance() const { return weighing.balance_weight / kGf; }
  double friction() const { return weighing.friction / kGf; }
};

inline Prepared prepare(ActionDesign design, bool whole_stroke = true, const ScrewSettings& start = {}) {
  Prepared p;
  p.design = std::move(design);
  p.regulated = regulate(p.design, start, p.design.policy);
  p.action = assemble(p.design, p.regulated.screws);
  WeighOptions o;
  o.whole_stroke = whole_stroke;
  p.weighing = weigh(p.action, p.regulated, o);
  return p;
}

inline Prepared prepare(const std::vector<case_file::Change>& changes, bool whole_stroke = true) {
  return prepare(design_with(changes), whole_stroke);
}

inline const Prepared& as_found() {
  static const Prepared p = prepare(design_with({}), true);
  return p;
}

}  // namespace leverwright::action

#include "models/remedies/capstan_hole.h"

#include <cmath>

namespace leverwright::remedies {

double hole_place(const ActionDesign& d) {
  return d.p_balance.x() + d.cap_apex.x() - (d.cap_apex.y() - d.key_height) * std::tan(d.cap_lean);
}

void mark_lean(Work& m, const std::string& argument) {
  const double lean = m.changed.cap_lean;
  m.mark("lean of the capstan", lean, "deg", 1,
         "against square to the key's top, plus when the top tips toward the strings", argument);
  m.mm("the same on a square", std::abs(kSquareLeg * std::tan(lean)),
       std::string("over 25 mm along the capstan, top ") +
           (lean >= 0 ? "toward the strings" : "toward the player"),
       "", 2);
}

void mark_drill(Work& m) {
  if (m.hole == nullptr) return;
  m.mm("drill", m.hole->value, "diameter, that of the old hole");
  m.marks.back().tolerance = m.hole->sigma * 1e3;
  m.marks.back().because = "as exactly as the old hole is known";
}

void mark_cap_height(Work& m) {
  m.mm("cap's top over the key's top", m.changed.cap_apex.y() + m.found.capstan_turned - m.changed.key_height,
       "to begin with, before regulation");
}

}  // namespace leverwright::remedies

#include "models/bench/order_tasks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "models/case/schema.h"
#include "sim/base/units.h"

namespace leverwright::bench {

using base::kDegree;
using base::kGramForce;

namespace {

constexpr double kLead = 11340;       // kg/m3 (CRC Handbook of Chemistry and Physics: 11.34 g/cm3)
constexpr double kSquareLeg = 25e-3;  // a square's tongue held along a capstan is read over this length
constexpr const char* kBehindHole = "behind the balance hole, along the key's top";
constexpr const char* kFromCentre = "from the wippen centre, level, wippen at rest";

// How far the top of something leaning stands off over a square's leg.
double offset_of(double lean) { return kSquareLeg * std::tan(lean); }

// "wippen.jack_centre_x" -> "wippen: jack centre x"
std::string plain_key(std::string key) {
  for (const char* head : {"measured.", "contact."})
    if (key.rfind(head, 0) == 0) key.erase(0, std::string(head).size());
  std::string out;
  for (const char c : key) {
    if (c == '.')
      out += ": ";
    else
      out += c == '_' ? ' ' : c;
  }
  return out;
}

std::string side_of(double value) { return value >= 0 ? "toward the strings" : "toward the player"; }

void mark_lean(TaskMaker& m, const std::string& argument) {
  m.mark("lean of the capstan", m.changed.cap_lean, "deg", 1,
         "against square to the key's top, plus when the top tips toward the strings", argument);
  m.mm("the same on a square", std::abs(offset_of(m.changed.cap_lean)),
       "over 25 mm along the capstan, top " + side_of(m.changed.cap_lean), "", 2);
}

// The drill is that of the old hole, so that the capstan turns in the new one as it did.
void mark_drill(TaskMaker& m) {
  if (m.hole == nullptr) return;
  m.mm("drill", m.hole->value, "diameter, that of the old hole");
  m.task.marks.back().tolerance = m.hole->sigma * 1e3;
  m.task.marks.back().because = "as exactly as the old hole is known";
}

void capstan_moved(TaskMaker& m) {
  const double old_hole = hole_place(m.base), hole = hole_place(m.changed);
  m.mm("new hole, middle", hole, kBehindHole, "distance");
  m.mm("old hole, middle", old_hole, kBehindHole);
  m.mm("new hole from old", std::abs(hole - old_hole), m.way("distance"), "distance");
  mark_drill(m);
  mark_lean(m, "lean_drilled");
  m.mm("cap's top over the key's top",
       m.result.design.cap_apex.y() + m.result.regulated.screws[action::kCapstan] - m.changed.key_height,
       "to begin with, before regulation");
  m.step(
      "Scribe a line square across the key at the new hole's distance, from a straightedge laid over the "
      "trial notes: never key by key.");
  m.cut(
      "Screw the capstan out. Plug the old hole with a glued hardwood plug, grain along the key's, and pare "
      "it flush; let it dry where the new hole cuts into it.");
  m.cut(fmt::format(
      "Prick the middle of the new hole. Clamp the key. Drill at the lean given, {}, stop set: the "
      "key is {:.1f} mm high and the bit ends short of its bottom.",
      m.hole == nullptr ? "to the old hole's diameter and depth"
                        : fmt::format("{:.1f} mm wide, to the old hole's depth", 1e3 * m.hole->value),
      1e3 * m.changed.key_height));
  m.step("Screw the capstan in to the height given, check its lean with a square both ways.");
  m.tool("straightedge, square, scriber");
  m.tool("drill press or guide with stop, clamp");
  m.tool("hardwood plugs, glue");
}

void capstan_lean(TaskMaker& m) {
  mark_lean(m, "angle");
  m.mark("lean before", m.base.cap_lean, "deg", 1, "the same way");
  mark_drill(m);
  m.mm("hole where it enters the key's top", hole_place(m.changed), kBehindHole, "");
  m.mm("the same before", hole_place(m.base), kBehindHole);
  m.mm("middle of the cap", m.changed.p_balance.x() + m.changed.cap_apex.x(), kBehindHole);
  m.cut(
      "Screw the capstan out, plug the hole and re-drill it at the new lean through the mark given; the "
      "capstan is not bent in its hole.");
  m.step(fmt::format("Keep {}: check with a pointer on the key, before and after.",
                     m.word("about") == "centre of its dome" ? "the centre of the dome where it was"
                                                             : "the middle of the cap where it was"));
  m.step("Check the lean with bevel or square both ways.");
  m.tool("bevel set to the lean, square");
  m.tool("drill guide set to the lean, stop, clamp");
}

void heel_re_glued(TaskMaker& m) {
  m.mm("shift of the heel", m.value("shift"), m.way("shift") + ", from a line scribed along its foot",
       "shift");
  m.mm("shim under the heel", m.value("shim"), "thickness, over the heel's whole foot", "shim", 2);
  m.mark("out of square", m.value("tilt"), "deg", 1, "plus when the string side stands lower", "tilt");
  m.mm("lifting face then, near end", -m.changed.lifting_face_to, kFromCentre, "shift");
  m.mm("lifting face then, far end", -m.changed.lifting_face_from, kFromCentre, "shift");
  m.mm("lifting face before, near end", -m.base.lifting_face_to, kFromCentre);
  m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face", "shim");
  m.mm("heel's surface before", face_depth(m.base), "below the wippen centre, middle of the face");
  m.step("Scribe the heel's foot on the wippen before anything is cut, and a second line at the shift.");
  m.cut("Part the heel from the wippen at its joint with a fine saw or heat; keep the joint flat.");
  m.step("Glue it on at the second line, square across the wippen, over the shim; clamp without rocking.");
  m.step("When dry, measure the ends of the lifting face from the wippen centre.");
  m.tool("fine saw, jig that holds the wippen");
  m.tool("hard wood shim, glue, clamps");
}

void heel_build_up(TaskMaker& m) {
  const double half = 0.5 * m.value("length"), centre = m.value("centre");
  m.mm("strip, length", m.value("length"), "along the heel", "length");
  m.mm("strip, thickness", m.value("height"), "not pressed", "height", 2);
  if (m.has("width")) m.mm("strip, width", m.value("width"), "across the heel", "width");
  m.mm("strip, middle", centre, kFromCentre, "centre");
  m.mm("strip, near end", centre - half, kFromCentre, "centre");
  m.mm("strip, far end", centre + half, kFromCentre, "centre");
  m.mm("strip's middle from the face's near end", centre + m.changed.lifting_face_to, "toward the player");
  m.step("Mark the strip's middle on the side of the heel, from the wippen centre.");
  m.step(
      "Loosen the heel cloth at its string-side end only, work the strip in between cloth and under-cloth, "
      "its middle on the mark.");
  m.step(m.word("cloth") == "laid afresh"
             ? "Lay the heel cloth over it without pulling it thin, glue its end."
             : "Draw the old cloth over it and glue its end again.");
  m.tool("strip of woven cloth or felt, cut in one length for all notes");
  m.tool("thin blade, glue");
}

void heel_bolstered(TaskMaker& m) {
  m.mm("bolster, thickness", m.value("thickness"), "not pressed", "thickness", 2);
  if (m.has("width")) m.mm("bolster, width", m.value("width"), "across the heel", "width");
  m.mm("bolster, length", m.changed.heel_x.back() - m.changed.heel_x.front(), "under the whole cushion");
  m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face",
       "thickness");
  m.mm("heel's surface before", face_depth(m.base), "below the wippen centre, middle of the face");
  m.step(
      "Loosen the cushion at one end and work the felt in under its whole length; no glue on its working "
      "part.");
  m.step("Glue the end again. Press the cushion by playing it some hundred times before it is regulated.");
  m.tool("felt of even thickness, thin blade, glue");
}

void heel_re_covered(TaskMaker& m) {
  m.mm("new cloth, thickness", m.value("thickness"), "not pressed", "thickness", 2);
  m.mm("old cloth, thickness", m.base.heel_cloth_thickness, "not pressed", "", 2);
  if (m.has("width")) m.mm("new cloth, width", m.value("width"), "across the heel", "width");
  m.mm("new cloth, length", m.changed.heel_x.back() - m.changed.heel_x.front(), "along the heel, at least");
  m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face",
       "thickness");
  m.step(
      fmt::format("Take the old cloth off dry or with little steam; keep one heel untouched as a pattern. "
                  "Hollows are taken to be {}.",
                  m.word("groove")));
  m.step(fmt::format("Lay \"{}\" without stretching it, glued at its ends.", m.word("id")));
  m.step("Press it by playing some hundred times before it is regulated.");
  m.tool("cloth from one piece for all notes, thickness gauge, glue");
}

void knuckle(TaskMaker& m) {
  if (m.has("hanging_distance")) {
    m.mm("knuckle core", m.value("hanging_distance"), "from the hammer centre, along the shank",
         "hanging_distance");
    m.mm("knuckle core before", m.base.hanging_distance, "the same way");
  }
  if (m.has("diameter")) {
    m.mm("knuckle, diameter", m.value("diameter"), "across its leather", "diameter");
    m.mm("knuckle, diameter before", 2 * m.base.knuckle_radius, "across its leather");
  }
  m.cut(
      "Take the knuckle out of its slot; where its place changes, plug the slot with wood and cut the new "
      "one "
      "square across the shank at the mark.");
  m.step("Glue the knuckle in square; check that the jack meets the middle of its width.");
  m.tool("jig for the slot, fine saw, wood for plugs, glue");
}

void cap(TaskMaker& m) {
  if (m.has("diameter")) m.mm("cap, diameter", m.value("diameter"), "across", "diameter");
  if (m.has("dome_radius")) m.mm("cap, dome radius", m.value("dome_radius"), "radius gauge", "dome_radius");
  if (m.has("edge_fillet"))
    m.mm("cap, edge rounded to", m.value("edge_fillet"), "radius gauge", "edge_fillet");
  if (m.has("height")) m.mm("cap taller than the old one by", m.value("height"), "minus: lower", "height");
  if (m.has("mass")) m.mark("whole capstan", m.value("mass"), "g", 1, "on the scale", "mass");
  m.mm("cap's top over the key's top",
       m.changed.cap_apex.y() + m.result.regulated.screws[action::kCapstan] - m.changed.key_height,
       "to begin with, before regulation");
  m.step(fmt::format("Fit the {} caps; polish what touches the cloth.", m.word("shape")));
  m.step("Set the height given, then regulate.");
  m.tool("caps, capstan key, radius gauge");
}

void friction(TaskMaker& m) {
  if (m.has("torque")) {
    m.mark(m.plain("pivot") + ", gauge", m.value("torque"), "gf at 23 mm", 1, "moving, flange held",
           "torque");
    m.step("Gauge the centre. Ease it or fit the pin that gives the reading; gauge again after ten swings.");
    m.tool("friction gauge, reamers, centre pins");
  } else if (m.has("weight")) {
    m.mark("bushing " + m.plain("bushing"), m.value("weight"), "gf", 1, "at the playing point, stack off",
           "weight");
    m.step(
        "Ease the bushing with pliers made for it, a little at a time, and weigh it again: a key that "
        "rattles "
        "has been eased too far.");
    m.tool("easing pliers, small weights");
  } else {
    m.mark(m.plain("place") + ", friction coefficient", m.value("coefficient"), "", 2,
           "no gauge reads it: the friction weighed below shows it", "coefficient");
    m.step(
        "Clean the two surfaces, then burnish or treat the one of cloth, felt or leather; a treatment that "
        "wets the leather hardens it.");
    m.tool("soft brush, treatment tried on a scrap first");
  }
  m.mark("friction to aim for, (down - up) / 2", m.result.measures[study::kFriction], "gf", 1,
         "weighed, regulated");
  m.step("Weigh off: stop when the friction weighed is inside its band below, not when it is least.");
}

void hammer_weight(TaskMaker& m) {
  m.mark(m.value("amount") < 0 ? "take off" : "add", std::abs(m.value("amount")), "gf", 1,
         m.word("taken_from") == "head" ? "from the head, at the strike line" : "head and shank alike",
         "amount");
  m.mark("strike weight then", m.changed.strike_weight, "gf", 1, "shank level, strike point on the scale",
         "amount");
  m.mark("strike weight before", m.base.strike_weight, "gf", 1, "the same way");
  m.cut(
      "Weigh hammer and shank. Take the mass off evenly from both sides of the head, never from the crown's "
      "striking felt; weigh again until the strike weight is reached.");
  m.step("Play the trial note for its tone before the next hammer is touched.");
  m.tool("scale, 0.1 g, shank held level");
}

void lead(TaskMaker& m) {
  const bool out = m.word("action") == "remove", moved = m.word("action") == "move";
  const double at = moved ? m.value("to") : m.value("distance");
  const auto side = [](double x) {
    return x >= 0 ? "in front of the balance hole" : "behind the balance hole";
  };
  m.mark("lead, mass", m.value("mass"), "g", 1, "on the scale", out ? "" : "mass");
  m.mm(out ? "lead to take out" : "lead, middle", std::abs(at), side(at),
       moved ? "to"
       : out ? ""
             : "distance");
  if (moved)
    m.mm("lead, middle before", std::abs(m.value("distance")), side(m.value("distance")), "distance");
  // A slug through the whole width: m = rho w pi d^2 / 4.
  if (!out)
    m.mm("hole, if the slug is as long as the key is wide",
         std::sqrt(4 * m.value("mass") / (base::kPi * kLead * m.changed.key_width)),
         fmt::format("diameter; the key is {:.1f} mm wide, lead 11.34 g/cm3", 1e3 * m.changed.key_width), "");
  m.mark("front weight then", m.changed.front_weight, "gf", 1, "key on a knife edge at the balance hole");
  m.mark("front weight before", m.base.front_weight, "gf", 1, "the same way");
  if (out || moved)
    m.step("Press the lead out over a hole in the bench, wet; plug the hole with wood where it stays empty.");
  if (!out) {
    m.step("Lay the lead on the key at the mark and weigh the front weight before a hole is drilled.");
    m.step(
        "Clamp the key, drill across it at the mark in the middle of its height, press or swage the lead "
        "in.");
  }
  m.step("Weigh the front weight.");
  m.tool("scale, knife edge");
  m.tool("drill with a guide, clamp, gloves, wet cloth, closed bag");
}

void assist_spring(TaskMaker& m) {
  m.mark("help of the spring", m.value("strength"), "gf", 1, "at the playing point, key at rest", "strength");
  m.mark("balance weight then", m.result.measures[study::kBalanceWeight], "gf", 1, "half of down plus up");
  m.step("Fit the spring without its help and weigh off.");
  m.step(
      "Set its strength until the balance weight has fallen to the one given; down and up weight fall "
      "alike.");
  m.tool("spring pliers, weights");
}

void spread_shim(TaskMaker& m) {
  const auto spread = [](const action::ActionDesign& d) { return (d.p_P - d.p_H).norm(); };
  m.mm("shim", m.value("thickness"), "behind the flanges of the " + m.word("rail"), "thickness", 2);
  m.mm("spread then", spread(m.changed), "pin to pin", "thickness");
  m.mm("spread before", spread(m.base), "pin to pin");
  m.step(fmt::format("Loosen the {} and lay the shim over its whole length, so that the spread becomes {}.",
                     m.word("rail"), m.way("thickness")));
  m.step(
      "Tighten in turns from the middle; measure the spread at both ends and in the middle: the stack must "
      "stay square.");
  m.step("Look at the strike line and the drop screws before anything is regulated.");
  m.tool("card of even thickness, thickness gauge, screwdriver");
}

void punching_halved(TaskMaker& m) {
  m.mm("balance point moves", m.value("shift"), m.way("shift"), "shift");
  m.mark("front weight then", m.changed.front_weight, "gf", 1, "weighed about the new balance point");
  m.step(fmt::format("Cut away the {} half of the punching along a line through the pin, square to the key.",
                     m.way("shift") == "toward the strings" ? "player's" : "strings'"));
  m.step("Lay it back so that it can not turn on its pin. Check key height and level.");
  m.tool("sharp knife, cutting board; the whole punchings kept");
}

void punching_shimmed(TaskMaker& m) {
  m.mm("shim", m.value("thickness"), "under " + m.word("under"), "thickness", 2);
  if (m.has("shift") && m.word("under") != "the whole punching")
    m.mm("balance point moves by about", m.value("shift"), "toward the shimmed half");
  m.mm("key height at rest, change", m.result.key_height_change, "at the playing point, plus: higher", "", 2);
  m.step(fmt::format("Take the key off, lay the shim under {}, put the key back.", m.word("under")));
  m.step("Check key height and level, then regulate.");
  m.tool("paper or card of known thickness, thickness gauge, tweezers");
}

// What is wrong with this amount shows first in the answers: the amounts of a part by how exactly each has to
// be met, the tightest first.
void mark_part(TaskMaker& m) {
  std::vector<const Tolerance*> found;
  for (const auto& [name, q] : m.c.quantities) {
    const Tolerance* t = m.find(name);
    if (t != nullptr && t->tolerance > 0 && t->critical) found.push_back(t);
  }
  std::sort(found.begin(), found.end(), [](const Tolerance* a, const Tolerance* b) {
    return a->tolerance / std::max(a->scatter, 1e-12) < b->tolerance / std::max(b->scatter, 1e-12);
  });
  constexpr std::size_t kMost = 8;
  for (std::size_t k = 0; k < found.size() && k < kMost; ++k) {
    const Tolerance& t = *found[k];
    const case_file::KeySpec* spec = case_file::schema().find_key(t.argument);
    const std::string unit = mark_unit_of(t.dimension);
    m.mark(plain_key(t.argument), t.value, unit, unit.empty() ? 2 : 1,
           spec != nullptr ? spec->description : "", t.argument);
  }
}

void part(TaskMaker& m) {
  m.step(
      fmt::format("Take one {} \"{}\" and measure it by the table before the set is ordered or glued: a part "
                  "outside a tolerance does not do what was computed.",
                  m.word("slot"), m.word("id")));
  m.step("Fit it on the trial note with what belongs to it, square and centred.");
  mark_part(m);
  if (m.task.marks.empty())
    m.mark("balance weight then", m.result.measures[study::kBalanceWeight], "gf", 1, "half of down plus up");
  m.tool("calliper, square, scale, friction gauge");
}

void material(TaskMaker& m) {
  m.step(fmt::format("Cover {} with \"{}\", laid without stretching, from one piece for all notes.",
                     m.plain("place"), m.word("id")));
  m.step("Press it by playing some hundred times before it is regulated.");
  mark_part(m);
  m.mark("friction to aim for, (down - up) / 2", m.result.measures[study::kFriction], "gf", 1,
         "weighed, regulated");
  m.tool("cloth, felt or leather of even thickness, glue");
}

void set_value(TaskMaker& m) {
  mark_part(m);
  if (m.task.marks.empty())
    for (const auto& [name, q] : m.c.quantities)
      m.mark(plain_key(name), q.value, mark_unit_of(q.dimension), 2, "as the case sets it", name);
  if (m.task.marks.empty())
    m.mark("balance weight then", m.result.measures[study::kBalanceWeight], "gf", 1, "half of down plus up");
  m.step("No tool or part stands behind this change: find out first what does it, and write it down here.");
  m.step("Measure afterwards what was set, at the place the table names.");
  m.tool("as the work needs");
}

using Fill = void (*)(TaskMaker&);

const std::map<std::string, Fill>& fills() {
  static const std::map<std::string, Fill> table = {{"part", part},
                                                    {"material", material},
                                                    {"set value", set_value},
                                                    {"heel re-covered", heel_re_covered},
                                                    {"knuckle", knuckle},
                                                    {"cap", cap},
                                                    {"friction", friction},
                                                    {"hammer weight", hammer_weight},
                                                    {"lead", lead},
                                                    {"assist spring", assist_spring},
                                                    {"spread shim", spread_shim},
                                                    {"balance punching halved", punching_halved},
                                                    {"balance punching shimmed", punching_shimmed},
                                                    {"capstan moved", capstan_moved},
                                                    {"capstan lean", capstan_lean},
                                                    {"heel re-glued", heel_re_glued},
                                                    {"heel bolstered", heel_bolstered},
                                                    {"heel build-up", heel_build_up}};
  return table;
}

}  // namespace

std::string TaskMaker::word(const char* name) const {
  const auto found = c.choices.find(name);
  return found == c.choices.end() ? "" : found->second;
}

std::string TaskMaker::plain(const char* name) const {
  std::string out = word(name);
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string TaskMaker::way(const char* amount) const {
  const std::string given = word("direction");
  if (value(amount) >= 0) return given;
  if (given == "wider") return "closer";
  if (given == "closer") return "wider";
  if (given != "toward the strings") return "toward the strings";
  return c.kind == "balance punching halved" ? "toward the player" : "toward the balance rail";
}

const Tolerance* TaskMaker::find(const std::string& argument) const {
  for (const Tolerance& t : tolerances_)
    if (t.change == index_ && t.argument == argument) return &t;
  return nullptr;
}

std::string mark_unit_of(case_file::Dimension d) {
  switch (d) {
    case case_file::Dimension::kLength:
      return "mm";
    case case_file::Dimension::kAngle:
      return "deg";
    case case_file::Dimension::kMass:
      return "g";
    case case_file::Dimension::kWeight:
      return "gf";
    case case_file::Dimension::kTorque:
      return "gf at 23 mm";
    default:
      return "";
  }
}

double mark_unit_in_si(const std::string& unit) {
  if (unit == "mm") return 1e-3;
  if (unit == "deg") return kDegree;
  if (unit == "g") return 1e-3;
  if (unit == "gf") return kGramForce;
  if (unit == "gf at 23 mm") return kGramForce * 0.023;
  return 1;
}

void TaskMaker::mark(const std::string& what, double amount_si, const std::string& unit, int decimals,
                     const std::string& from, const std::string& argument) {
  const double si = mark_unit_in_si(unit);
  OrderMark out;
  out.what = what;
  out.value = amount_si / si;
  out.unit = unit;
  out.decimals = decimals;
  out.from = from;
  if (const Tolerance* t = find(argument)) {
    out.tolerance = t->tolerance / si;
    out.critical = t->critical;
    if (!t->why_not.empty())
      out.because = "next to it: " + t->why_not;
    else if (t->critical)
      out.because = t->decided_by;
    else
      out.because = "more would do";
  }
  task.marks.push_back(out);
}

double hole_place(const action::ActionDesign& d) {
  return d.p_balance.x() + d.cap_apex.x() - (d.cap_apex.y() - d.key_height) * std::tan(d.cap_lean);
}

double face_depth(const action::ActionDesign& d) {
  const double x = 0.5 * (d.lifting_face_from + d.lifting_face_to);
  const double spacing = d.heel_x.size() > 1 ? d.heel_x[1] - d.heel_x[0] : 1;
  const double at = (x - d.heel_x.front()) / spacing;
  const auto k = static_cast<std::size_t>(std::clamp(at, 0.0, static_cast<double>(d.heel_x.size() - 1)));
  return d.heel_h[k];
}

void fill_task(TaskMaker& m) {
  const auto fill = fills().find(m.c.kind);
  (fill == fills().end() ? set_value : fill->second)(m);
}

}  // namespace leverwright::bench

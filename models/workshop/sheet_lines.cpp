#include "models/workshop/sheet_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "models/case_file/schema.h"
#include "models/keyboard/layout.h"

namespace leverwright::workshop {

using case_file::Dimension;

namespace {

constexpr double kNo = 1, kUsual = 0;  // low 1, high 0: nothing is usual

SheetLine line(int number, const char* section, const char* key, const char* name, const char* where,
               const char* tool, double low, double high, const char* unit, Drawing drawing = Drawing::kNone,
               bool shared = false) {
  SheetLine l;
  l.number = number;
  l.section = section;
  l.key = key;
  l.name = name;
  l.where = where;
  l.tool = tool;
  l.shared = shared;
  l.low = low;
  l.high = high;
  l.unit = unit;
  l.drawing = drawing;
  return l;
}

SheetLine as(SheetLine l, Use use) {
  l.use = use;
  return l;
}

constexpr const char* kSteelRule = "steel rule, square";
constexpr const char* kCalliper = "calliper";
constexpr const char* kScale = "scale, 0.1 g";
constexpr const char* kGauge = "friction gauge";
constexpr const char* kDepth = "depth gauge";

void add_head(std::vector<SheetLine>& l) {
  const char* s = "The note";
  l.push_back(
      line(1, s, "note.number", "number of the note", "from the lowest, 1 to 88", "", kNo, kUsual, ""));
  l.push_back(as(line(2, s, "note.kind", "natural or sharp", "", "", kNo, kUsual, ""), Use::kChoice));
  l.push_back(as(line(3, s, "bench.sideways_lean", "capstan or heel leans sideways", "seen from the front",
                      "eye", kNo, kUsual, ""),
                 Use::kChoice));
  l.push_back(as(line(4, s, "bench.twist", "wippen, shank or key is twisted", "seen from the front", "eye",
                      kNo, kUsual, ""),
                 Use::kChoice));
  l.push_back(as(line(5, s, "bench.side_offset", "a contact sits off the middle", "across the key", "eye",
                      kNo, kUsual, ""),
                 Use::kChoice));
}

void add_stack(std::vector<SheetLine>& l) {
  const char* s = "Where the stack stands (once for the piano)";
  const auto add = [&](int number, const char* key, const char* name, const char* where, const char* tool,
                       double low, double high) {
    l.push_back(line(number, s, key, name, where, tool, low, high, "mm", Drawing::kSide, true));
  };
  add(11, "measured.spread", "spread", "wippen centre to hammer centre, pin to pin", kCalliper, 109, 115);
  add(12, "measured.wippen_centre_height", "wippen centre, height", "pin above the keybed", kSteelRule, kNo,
      kUsual);
  add(13, "measured.hammer_centre_height", "hammer centre, height", "pin above the keybed", kSteelRule, kNo,
      kUsual);
  add(14, "measured.balance_hole_height", "balance hole, height", "key's underside above the keybed, at rest",
      kSteelRule, kNo, kUsual);
  add(15, "measured.capstan_top_height", "capstan top, height", "above the keybed, key at rest", kSteelRule,
      kNo, kUsual);
  add(16, "measured.string_height", "string, height", "above the keybed at the strike point", kSteelRule, kNo,
      kUsual);
  add(17, "measured.balance_hole_to_wippen_centre", "balance hole to wippen centre",
      "level, along the key: square from pin to key", kSteelRule, kNo, kUsual);
}

void add_key(std::vector<SheetLine>& l) {
  const char* s = "Key and capstan";
  l.push_back(line(21, s, "measured.key_front_length", "key, front length",
                   "playing point (13 mm behind the front edge) to the balance hole at the key's bottom",
                   kSteelRule, 217, 265, "mm", Drawing::kKey));
  l.push_back(line(22, s, "measured.key_rear_length", "key, rear length",
                   "balance hole at the bottom to the top of the cap, straight", kSteelRule, 125, 145, "mm",
                   Drawing::kKey));
  l.push_back(line(23, s, "key.height", "keystick, height", "bottom to top at the balance hole", kCalliper,
                   kNo, kUsual, "mm", Drawing::kKey));
  l.push_back(
      line(24, s, "key.width", "keystick, width", "mean of front and rear", kCalliper, kNo, kUsual, "mm"));
  l.push_back(
      as(line(31, s, "capstan.cap", "cap, shape", "flat or domed", "eye", kNo, kUsual, "", Drawing::kHeel),
         Use::kChoice));
  l.push_back(line(32, s, "capstan.cap_diameter", "cap, diameter", "across", kCalliper, kNo, kUsual, "mm",
                   Drawing::kHeel));
  l.push_back(line(33, s, "capstan.dome_radius", "cap, dome radius", "domed caps only", "radius gauge", kNo,
                   kUsual, "mm", Drawing::kHeel));
  l.push_back(line(34, s, "capstan.edge_fillet", "cap, edge", "radius of the rounded edge", "radius gauge",
                   kNo, kUsual, "mm", Drawing::kHeel));
  l.push_back(line(35, s, "capstan.lean", "capstan, lean", "plus when the top tips toward the strings",
                   "bevel", kNo, kUsual, "deg", Drawing::kHeel));
  l.push_back(
      line(36, s, "measured.capstan_mass", "capstan, mass", "one capstan screwed out", kScale, 5, 6, "g"));
}

void add_wippen(std::vector<SheetLine>& l) {
  const char* s = "Heel and wippen";
  l.push_back(line(41, s, "measured.heel_contact_arm", "heel contact",
                   "wippen centre to the capstan's contact at half stroke, straight", "dividers", 65, 68,
                   "mm", Drawing::kHeel));
  l.push_back(line(42, s, "measured.wippen_arm", "wippen arm",
                   "wippen centre to jack on knuckle at half stroke, straight", "dividers", 92.5, 95, "mm",
                   Drawing::kHammer));
  l.push_back(line(43, s, "wippen.lifting_face_start", "lifting face, near end",
                   "wippen centre to its end on the strings' side", kSteelRule, kNo, kUsual, "mm",
                   Drawing::kHeel));
  l.push_back(line(44, s, "wippen.lifting_face_end", "lifting face, far end",
                   "wippen centre to its end on the player's side", kSteelRule, kNo, kUsual, "mm",
                   Drawing::kHeel));
  l.push_back(line(45, s, "wippen.heel_cloth_thickness", "heel cloth", "thickness, not pressed", kCalliper,
                   kNo, kUsual, "mm", Drawing::kHeel));
  l.push_back(line(46, s, "wippen.under_cloth_thickness", "under-cloth", "thickness, not pressed", kCalliper,
                   kNo, kUsual, "mm", Drawing::kHeel));
}

void add_hammer(std::vector<SheetLine>& l) {
  const char* s = "Shank and hammer";
  const auto add = [&](int number, const char* key, const char* name, const char* where, const char* tool,
                       double low, double high) {
    l.push_back(line(number, s, key, name, where, tool, low, high, "mm", Drawing::kHammer));
  };
  add(51, "measured.hanging_distance", "hanging distance",
      "hammer centre to the knuckle's core, along the shank", kCalliper, 15.5, 18.5);
  add(52, "measured.knuckle_diameter", "knuckle, diameter", "across its leather", kCalliper, 9, 11);
  add(53, "measured.knuckle_arm", "knuckle arm",
      "hammer centre to the knuckle's contact, straight: never mixed with 51", "dividers", 20, 22.6);
  add(54, "measured.hammer_length", "hammer length", "hammer centre to the strike line, along the shank",
      kSteelRule, 126, 133);
  add(55, "measured.bore", "bore", "centre line of the shank to the crown", kCalliper, 45, 59);
}

void add_scale(std::vector<SheetLine>& l) {
  const char* s = "On the scale";
  l.push_back(line(61, s, "measured.strike_weight", "strike weight",
                   "hammer and shank at the strike point, shank level", kScale, 5, 12, "gf",
                   Drawing::kHammer));
  l.push_back(line(62, s, "measured.front_weight", "front weight",
                   "key on a knife edge at the balance hole, playing point on the scale; minus when unleaded",
                   "scale, knife edge", 0, 40, "gf", Drawing::kKey));
  l.push_back(line(63, s, "measured.wippen_weight", "wippen weight",
                   "wippen held at its centre, heel contact on the scale", kScale, 17.5, 18.5, "gf",
                   Drawing::kHeel));
  static const char* const kMass[] = {"lead 1, mass", "lead 2, mass", "lead 3, mass",
                                      "lead 4, mass", "lead 5, mass", "lead 6, mass"};
  static const char* const kPlace[] = {"lead 1, place", "lead 2, place", "lead 3, place",
                                       "lead 4, place", "lead 5, place", "lead 6, place"};
  for (int k = 0; k < kMostLeads; ++k) {
    SheetLine m =
        line(line_of_lead(k), s, "", kMass[k], k == 0 ? "weighed, or from its size; 0 when none" : "", kScale,
             10, 20, "g", k == 0 ? Drawing::kKey : Drawing::kNone);
    m.use = Use::kLeadMass;
    m.index = k;
    SheetLine p = line(line_of_lead(k) + 1, s, "", kPlace[k],
                       k == 0 ? "from the balance hole; behind it (rear leads) with a minus" : "", kSteelRule,
                       kNo, kUsual, "mm", k == 0 ? Drawing::kKey : Drawing::kNone);
    p.use = Use::kLeadDistance;
    p.index = k;
    l.push_back(m);
    l.push_back(p);
  }
}

void add_friction(std::vector<SheetLine>& l) {
  const char* s = "Friction by gauge, moving, not at breakaway";
  const char* unit = "gf at 23 mm";
  const auto gauge = [&](int number, const char* key, const char* name, const char* where, double low,
                         double high, Drawing drawing) {
    l.push_back(line(number, s, key, name, where, kGauge, low, high, unit, drawing));
  };
  gauge(71, "friction.hammer_centre", "hammer centre", "another radius: write \"3.5 at 20\"", 2, 5,
        Drawing::kSide);
  gauge(72, "friction.wippen_centre", "wippen centre", "the same", 1, 4, Drawing::kSide);
  gauge(73, "friction.jack_centre", "jack centre", "the same", 1, 2, Drawing::kHammer);
  gauge(74, "friction.lever_centre", "repetition lever centre", "the same", 3, 7, Drawing::kHammer);
  l.push_back(as(line(75, s, "key_friction", "key friction", "stack off, at the playing point",
                      "small weights", 1, 6, "gf", Drawing::kKey),
                 Use::kReading));
  l.push_back(line(76, s, "friction.key_balance", "part due to the balance bushing",
                   "front pin clear, at the playing point", "small weights", 0.5, 3, "gf"));
  l.push_back(line(77, s, "friction.key_front", "part due to the front bushing", "the rest of 75",
                   "small weights", 0.5, 3, "gf"));
  l.push_back(as(line(78, s, "hammer_swings", "hammer, swings", "let go level: full swings until it stands",
                      "eye", kNo, kUsual, ""),
                 Use::kReading));
  l.push_back(
      as(line(79, s, "wippen_swings", "wippen, swings", "the same, wippen hanging", "eye", kNo, kUsual, ""),
         Use::kReading));
}

void add_found(std::vector<SheetLine>& l) {
  const char* s = "As found: weighed and measured before a screw is turned";
  const auto add = [&](int number, const char* key, const char* name, const char* where, const char* tool,
                       double low, double high, const char* unit) {
    l.push_back(line(number, s, key, name, where, tool, low, high, unit));
  };
  add(81, "measured.down_weight", "down weight",
      "least weight that carries the key slowly to let-off, dampers lifted", "small weights", 45, 55, "gf");
  add(82, "measured.up_weight", "up weight", "most weight the key lifts back", "small weights", 20, 30, "gf");
  add(83, "measured.dip", "dip", "travel at the playing point", kDepth, 9.9, 10.7, "mm");
  add(84, "measured.blow", "blow", "crown to string at rest", kSteelRule, 44.5, 47.6, "mm");
  add(85, "measured.let_off", "let-off", "crown to string where the jack trips", "feeler", 1.5, 2.5, "mm");
  add(86, "measured.drop", "drop", "fall after let-off", "feeler", 0, 1.6, "mm");
  add(87, "measured.aftertouch", "aftertouch", "key travel left after let-off", kDepth, 0.8, 1.5, "mm");
  add(88, "measured.checking", "checking", "crown to string when caught", kSteelRule, 15, 16, "mm");
}

void add_wanted(std::vector<SheetLine>& l) {
  const char* s = "To be regulated to (once for the piano)";
  l.push_back(
      as(line(91, s, "regulation.policy", "hold to specification",
              "two of dip, blow, aftertouch; the third follows", "", kNo, kUsual, "", Drawing::kNone, true),
         Use::kChoice));
  const auto add = [&](int number, const char* key, const char* name, const char* where, const char* tool,
                       double low, double high) {
    l.push_back(line(number, s, key, name, where, tool, low, high, "mm", Drawing::kNone, true));
  };
  add(92, "regulation.dip", "dip", "", "", 9.9, 10.7);
  add(93, "regulation.blow", "blow", "", "", 44.5, 47.6);
  add(94, "regulation.aftertouch", "aftertouch", "", "", 0.8, 1.5);
  add(95, "regulation.let_off", "let-off", "", "", 1.5, 2.5);
  add(96, "regulation.drop", "drop", "", "", 0.1, 1.6);
  add(97, "screws.capstan.pitch", "capstan, rise in a turn", "ten turns, divided by ten", kCalliper, kNo,
      kUsual);
  add(98, "screws.let_off_button.pitch", "let-off button, rise in a turn", "the same", kCalliper, kNo,
      kUsual);
  add(99, "screws.drop_screw.pitch", "drop screw, rise in a turn", "the same", kCalliper, kNo, kUsual);
}

void add_supplement(std::vector<SheetLine>& l) {
  const std::size_t from = l.size();
  const char* s = "Positions, from the wippen centre, wippen at rest: plus toward the strings, plus up";
  int number = 101;
  const auto add = [&](const char* key, const char* name, const char* where, const char* unit = "mm") {
    l.push_back(line(number++, s, key, name, where, "square, squared paper", kNo, kUsual, unit));
  };
  add("wippen.jack_centre_x", "jack centre, along", "");
  add("wippen.jack_centre_y", "jack centre, up", "");
  add("wippen.lever_centre_x", "repetition lever centre, along", "");
  add("wippen.lever_centre_y", "repetition lever centre, up", "");
  add("frame.let_off_button_x", "let-off button, along", "middle of the button");
  add("frame.let_off_button_y", "let-off button, up", "its under side, as measured");
  add("frame.drop_screw_x", "drop screw, along", "");
  add("frame.drop_screw_y", "drop screw, up", "its lower end, as measured");
  s = "Jack, lever and check";
  number = 111;
  add("wippen.jack_length", "jack, length", "jack centre to the middle of its top");
  add("wippen.jack_width", "jack, width", "its top from face to face along the action");
  add("wippen.jack_tender_x", "tender, along", "from the jack centre: minus toward the player");
  add("wippen.jack_tender_y", "tender, up", "from the jack centre");
  add("wippen.lever_top_x", "face of the lever, along", "its middle, from the lever centre");
  add("wippen.lever_top_y", "face of the lever, up", "its middle, from the lever centre");
  add("key.check_x", "back check, along", "middle of its face, from the balance hole");
  add("key.check_y", "back check, up", "middle of its face, from the key's bottom");
  add("key.check_lean", "back check, lean", "plus when its top tips toward the strings", "deg");
  s = "Capstan hole";
  number = 121;
  l.push_back(line(number, s, "screws.capstan.hole_diameter", "capstan hole, diameter",
                   "capstan screwed out: the drill whose shank just enters", "drills, calliper", kNo, kUsual,
                   "mm"));
  s = "Heel, traced: a needle along the surface, cloth not pressed; from the player's side to the strings'";
  static const char* const kPoint[kTracePoints] = {"point 1", "point 2",  "point 3",  "point 4",
                                                   "point 5", "point 6",  "point 7",  "point 8",
                                                   "point 9", "point 10", "point 11", "point 12"};
  for (int k = 0; k < kTracePoints; ++k) {
    SheetLine p = line(131 + k, s, "wippen.heel_profile", kPoint[k],
                       k == 0 ? "two numbers: toward the player, then below the wippen centre" : "",
                       "squared paper", kNo, kUsual, "mm", k == 0 ? Drawing::kHeel : Drawing::kNone);
    p.use = Use::kTracePoint;
    p.index = k;
    l.push_back(p);
  }
  for (std::size_t k = from; k < l.size(); ++k) {
    l[k].supplement = true;
    l[k].shared = true;
  }
}

void add_regulated(std::vector<SheetLine>& l) {
  const char* s = "Regulated before the work, to the specification of lines 91 to 96";
  const auto add = [&](int number, const char* key, const char* name, const char* where, const char* tool,
                       double low, double high, const char* unit) {
    l.push_back(as(line(number, s, key, name, where, tool, low, high, unit), Use::kReading));
  };
  add(151, "regulated.down_weight", "down weight", "as line 81", "small weights", 45, 55, "gf");
  add(152, "regulated.up_weight", "up weight", "as line 82", "small weights", 20, 30, "gf");
  add(153, "regulated.dip", "dip", "as line 83", kDepth, 9.9, 10.7, "mm");
  add(154, "regulated.blow", "blow", "as line 84", kSteelRule, 44.5, 47.6, "mm");
  add(155, "regulated.let_off", "let-off", "as line 85", "feeler", 1.5, 2.5, "mm");
  add(156, "regulated.aftertouch", "aftertouch", "as line 87", kDepth, 0.8, 1.5, "mm");
}

std::vector<SheetLine> build() {
  std::vector<SheetLine> l;
  for (const auto add : {add_head, add_stack, add_wanted, add_key, add_wippen, add_hammer, add_scale,
                         add_friction, add_found, add_regulated, add_supplement})
    add(l);
  return l;
}

}  // namespace

const std::vector<SheetLine>& sheet_lines() {
  static const std::vector<SheetLine> lines = build();
  return lines;
}

int line_of_lead(int lead) { return lead < 3 ? 64 + 2 * lead : 161 + 2 * (lead - 3); }

std::optional<NamedNote> note_named(const std::string& name) {
  const auto number = keyboard::read_note(name);
  if (!number || std::isdigit(static_cast<unsigned char>(name[0]))) return {};
  return NamedNote{*number, keyboard::is_sharp(*number)};
}

const SheetLine* find_line(int number) {
  for (const SheetLine& l : sheet_lines())
    if (l.number == number) return &l;
  return nullptr;
}

const SheetLine* find_line_of(const std::string& key) {
  for (const SheetLine& l : sheet_lines())
    if (!key.empty() && l.key == key) return &l;
  return nullptr;
}

calibrate::Kind reading_of(const SheetLine& l) {
  static const std::pair<const char*, calibrate::Kind> kPairs[] = {
      {"measured.down_weight", calibrate::Kind::kDownWeight},
      {"measured.up_weight", calibrate::Kind::kUpWeight},
      {"measured.dip", calibrate::Kind::kDip},
      {"measured.blow", calibrate::Kind::kBlow},
      {"measured.let_off", calibrate::Kind::kLetOff},
      {"measured.aftertouch", calibrate::Kind::kAftertouch},
      {"friction.hammer_centre", calibrate::Kind::kHammerCentre},
      {"friction.wippen_centre", calibrate::Kind::kWippenCentre},
      {"regulated.down_weight", calibrate::Kind::kDownWeight},
      {"regulated.up_weight", calibrate::Kind::kUpWeight},
      {"regulated.dip", calibrate::Kind::kDip},
      {"regulated.blow", calibrate::Kind::kBlow},
      {"regulated.let_off", calibrate::Kind::kLetOff},
      {"regulated.aftertouch", calibrate::Kind::kAftertouch},
      {"key_friction", calibrate::Kind::kKeyFriction},
      {"hammer_swings", calibrate::Kind::kHammerSwings},
      {"wippen_swings", calibrate::Kind::kWippenSwings}};
  for (const auto& [key, kind] : kPairs)
    if (l.key == key) return kind;
  return calibrate::Kind::kKindCount;
}

bool is_regulated_reading(const SheetLine& l) { return l.key.rfind("regulated.", 0) == 0; }

Dimension dimension_of(const SheetLine& l) {
  switch (l.use) {
    case Use::kReading:
      return calibrate::info_of(reading_of(l)).dimension;
    case Use::kLeadMass:
      return Dimension::kMass;
    case Use::kLeadDistance:
    case Use::kTracePoint:
      return Dimension::kLength;
    case Use::kChoice:
      return Dimension::kCount;
    default:
      return case_file::schema().find_key(l.key)->dimension;
  }
}

std::string usual_uncertainty(const SheetLine& l) {
  switch (l.use) {
    case Use::kReading:
      return calibrate::info_of(reading_of(l)).usual_sigma;
    case Use::kTracePoint:
      return case_file::schema().find_point_list(l.key)->default_sigma;
    case Use::kChoice:
      return "";
    case Use::kQuantity:
      return case_file::schema().find_key(l.key)->default_sigma;
    default: {
      const char* name = l.use == Use::kLeadMass ? "mass" : "distance";
      for (const auto& argument : case_file::lead_arguments())
        if (argument.name == name) return argument.default_sigma;
      return "";
    }
  }
}

std::string usual_words(const SheetLine& l) {
  if (!l.has_usual()) return "";
  return fmt::format("{:g} to {:g}", l.low, l.high);
}

std::vector<std::string> words_of(const SheetLine& l) {
  if (l.use != Use::kChoice) return {};
  return case_file::schema().find_choice(l.key)->words;
}

}  // namespace leverwright::workshop

#include "models/study/quantities.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "models/study/set_up_result.h"
#include "models/study/set_up_solver.h"
#include "sim/base/units.h"

namespace leverwright::study {

namespace {

using S = SetUpResult;

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kToGf = 1.0 / base::kGramForce, kToMm = 1e3;
constexpr double kGf = base::kGramForce, kMm = 1e-3;
// Short words for the rows.
constexpr Needs kReg = Needs::kRegulated, kWgh = Needs::kWeighed, kAll = Needs::kWholeStroke,
                kVs = Needs::kBase;

constexpr const char* kDownBeforeLetOff = "the key is down before the hammer lets off";
constexpr const char* kNowhereBears = "the capstan nowhere bears on the heel";
constexpr const char* kNotFound = "not found";

// Weighed friction is half of D less U, each the extreme of its curve over the window. Half the mean
// difference of the two curves is what is rubbed off; the rest is that they fall with dip, so that D stands
// early and U late.
double mean_friction(const S& s) { return 0.5 * (s.weighing.mean_down - s.weighing.mean_up); }

double margin(double least) { return least > 1e8 ? kNone : least; }  // 1e9: nothing was read

template <int kScrew>
double setting(const S& s) {
  return s.regulated.screws[kScrew];
}
template <int kScrew>
double turns(const S& s) {
  return s.turns[kScrew];
}
template <int kScrew>
double left(const S& s) {
  return s.thread_left[kScrew];
}

#define LW_LENGTH "m", "mm", kToMm
#define LW_FORCE "N", "gf", kToGf
#define LW_PLAIN "1", "1", 1.0
#define LW_SETTING(key, also, name, screw, unit, shown)                                               \
  {                                                                                                   \
    {key "_setting", name ": setting against the drawing", unit, shown, 1e3, 2}, "screw", also, name, \
        "where regulation put it, positive as the case's [screws] count", kReg, -60 * kMm, 60 * kMm,  \
        kNotFound, setting<screw>                                                                     \
  }
#define LW_TURNS(key, name, screw)                                                                \
  {                                                                                               \
    {key "_turns", name ": turns against the base", "turn", "turn", 1.0, 2}, "screw", "", name,   \
        "setting less the base's, in turns of its pitch", kVs, -100, 100, kNotFound, turns<screw> \
  }
#define LW_LEFT(key, name, screw, unit, shown)                                                        \
  {                                                                                                   \
    {key "_left", name ": left in the direction moved", unit, shown, 1e3, 2}, "screw", "", name,      \
        "from the setting to the end of its range, the way it was moved", kVs, -100 * kMm, 100 * kMm, \
        kNotFound, left<screw>                                                                        \
  }

}  // namespace

constexpr std::array<Quantity, kQuantityCount> kQuantities = {{
    // Measures.
    {{"down_weight", "down weight", LW_FORCE, 1},
     "measure",
     "",
     "down weight",
     "greatest force going down between 1 mm of dip and where the tender meets its button",
     kWgh,
     -100 * kGf,
     400 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.down_weight; }},
    {{"up_weight", "up weight", LW_FORCE, 1},
     "measure",
     "",
     "up weight",
     "least force coming up in the same window",
     kWgh,
     -150 * kGf,
     300 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.up_weight; }},
    {{"balance_weight", "balance weight", LW_FORCE, 1},
     "measure",
     "",
     "balance weight",
     "half of down weight and up weight together",
     kWgh,
     -100 * kGf,
     300 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.balance_weight; }},
    {{"friction", "friction", LW_FORCE, 1},
     "measure",
     "",
     "friction",
     "half of down weight less up weight; holds the fall of the force curves, which is no friction",
     kWgh,
     -1 * kGf,
     200 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.friction; }},
    {{"force_fall", "fall of the force curves", LW_FORCE, 1},
     "measure",
     "",
     "  of it fall of force",
     "weighed friction less mean friction: down weight is set early, up weight late, and both curves fall",
     kWgh,
     -100 * kGf,
     150 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.friction - mean_friction(s); }},
    {{"mean_friction", "friction over the window (mean)", LW_FORCE, 1},
     "measure",
     "",
     "  of it mean friction",
     "half of the mean force going down less the mean force coming up, over the window",
     kWgh,
     -1 * kGf,
     200 * kGf,
     kNotFound,
     [](const S& s) { return mean_friction(s); }},
    {{"capstan_friction", "friction from capstan on heel", LW_FORCE, 2},
     "measure",
     "",
     "  of it at the capstan",
     "the capstan's rubbing on the heel, mean over the window",
     kWgh,
     -1 * kGf,
     200 * kGf,
     kNotFound,
     [](const S& s) { return s.facts.capstan_friction; }},
    {{"let_off_resistance", "let-off resistance", LW_FORCE, 0},
     "measure",
     "",
     "let-off resistance",
     "greatest force from the button to let-off, less the force just before the button",
     kAll,
     -50 * kGf,
     1000 * kGf,
     kDownBeforeLetOff,
     [](const S& s) {
       return !s.weighing.down.empty() && s.weighing.down.back().travel > s.regulated.dip_let_off
                  ? s.weighing.let_off_resistance
                  : kNone;
     }},
    {{"distance_ratio", "distance ratio", LW_PLAIN, 2},
     "measure",
     "",
     "distance ratio",
     "hammer travel over key travel, rest to let-off",
     kWgh,
     1,
     15,
     kNotFound,
     [](const S& s) { return s.weighing.distance_ratio; }},
    {{"weight_ratio", "weight ratio", LW_PLAIN, 2},
     "measure",
     "",
     "weight ratio",
     "from balance, front, wippen and strike weight",
     kWgh,
     -20,
     40,
     kNotFound,
     [](const S& s) { return s.weighing.weight_ratio; }},
    {{"dip", "dip", LW_LENGTH, 2},
     "measure",
     "",
     "dip",
     "key travel at the playing point until the front punching carries its test force",
     kReg,
     0,
     25 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.dip; }},
    {{"blow", "blow", LW_LENGTH, 1},
     "measure",
     "",
     "blow",
     "hammer crown to string at rest",
     kReg,
     0,
     90 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.blow; }},
    {{"aftertouch", "aftertouch", LW_LENGTH, 2},
     "measure",
     "",
     "aftertouch",
     "dip less the dip at let-off",
     kReg,
     -10 * kMm,
     15 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.aftertouch; }},
    {{"reflected_mass", "reflected mass", "kg", "g", 1e3, 0},
     "measure",
     "",
     "reflected mass",
     "inertia of all parts at the playing point, at half stroke without friction",
     kWgh,
     0,
     5,
     kNotFound,
     [](const S& s) { return s.reflected_mass; }},
    {{"capstan_slide", "slide of capstan on heel to let-off", LW_LENGTH, 2},
     "measure",
     "",
     "capstan slide, let-off",
     "how far the capstan slides on the heel from rest to let-off, all reversals added",
     kWgh,
     0,
     30 * kMm,
     kNotFound,
     [](const S& s) { return s.facts.slide_to_let_off; }},
    // Regulation.
    {{"let_off", "let-off", LW_LENGTH, 2},
     "regulation",
     "",
     "let-off",
     "hammer crown to string at let-off",
     kReg,
     -20 * kMm,
     60 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.let_off; }},
    {{"drop", "drop", LW_LENGTH, 2},
     "regulation",
     "",
     "drop",
     "fall of the hammer after let-off",
     kReg,
     -20 * kMm,
     60 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.drop; }},
    {{"jack_clearance", "jack top to knuckle at rest", LW_LENGTH, 2},
     "regulation",
     "",
     "jack top to knuckle at rest",
     "jack top to knuckle leather at rest",
     kReg,
     -10 * kMm,
     20 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.jack_clearance; }},
    {{"dip_at_let_off", "dip at let-off", LW_LENGTH, 2},
     "regulation",
     "",
     "dip at let-off",
     "key travel at the playing point at let-off",
     kReg,
     0,
     25 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.dip_let_off; }},
    {{"dip_at_button", "dip where the tender meets its button", LW_LENGTH, 2},
     "regulation",
     "",
     "dip where the tender meets its button",
     "end of the window in which down and up weight are read",
     kReg,
     0,
     25 * kMm,
     kNotFound,
     [](const S& s) { return s.regulated.dip_button; }},
    // Weighing.
    {{"mean_down_force", "mean down force", LW_FORCE, 1},
     "weighing",
     "",
     "mean down force",
     "mean of the force going down over the window",
     kWgh,
     -100 * kGf,
     400 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.mean_down; }},
    {{"mean_up_force", "mean up force", LW_FORCE, 1},
     "weighing",
     "",
     "mean up force",
     "mean of the force coming up over the window",
     kWgh,
     -150 * kGf,
     300 * kGf,
     kNotFound,
     [](const S& s) { return s.weighing.mean_up; }},
    {{"dip_of_down_weight", "dip where the down weight is set", LW_LENGTH, 1},
     "weighing",
     "",
     "dip where the down weight is set",
     "where in the window the force going down is greatest",
     kWgh,
     0,
     25 * kMm,
     kNotFound,
     [](const S& s) { return s.weighing.dip_of_down_weight; }},
    {{"dip_of_up_weight", "dip where the up weight is set", LW_LENGTH, 1},
     "weighing",
     "",
     "dip where the up weight is set",
     "where in the window the force coming up is least",
     kWgh,
     0,
     25 * kMm,
     kNotFound,
     [](const S& s) { return s.weighing.dip_of_up_weight; }},
    {{"lever_product", "lever product", LW_PLAIN, 2},
     "weighing",
     "",
     "lever product",
     "product of the straight arms at half stroke; differs from both ratios by its nature",
     kAll,
     0,
     20,
     kNotFound,
     [](const S& s) { return s.weighing.lever_product; }},
    {{"key_ratio", "key ratio", LW_PLAIN, 3},
     "weighing",
     "",
     "key ratio",
     "ratio of the key's horizontal arms at rest",
     kWgh,
     0.1,
     2,
     kNotFound,
     [](const S& s) { return s.weighing.key_ratio; }},
    {{"capstan_slide_to_dip", "slide of capstan on heel to full dip", LW_LENGTH, 2},
     "weighing",
     "",
     "capstan slide, full dip",
     "the same slide as to let-off, but from rest to full dip",
     kAll,
     0,
     30 * kMm,
     kNotFound,
     [](const S& s) { return s.facts.slide_to_end; }},
    // At the bench.
    {{"shank_to_rest_cushion", "shank to rest cushion at rest", LW_LENGTH, 1},
     "bench",
     "",
     "shank to rest cushion, mm",
     "shank to the cushion at rest; negative: the cushion carries it",
     kAll,
     -30 * kMm,
     60 * kMm,
     kNotFound,
     [](const S& s) { return s.bench.shank_rest_gap; }},
    {{"jack_clear_of_core_at_dip", "jack clear of the knuckle core at full dip", LW_LENGTH, 2},
     "bench",
     "jack_depth",
     "full dip: jack clear of knuckle core, mm",
     "knuckle core's player-side edge past the jack's string-side face",
     kAll,
     -20 * kMm,
     30 * kMm,
     kNotFound,
     [](const S& s) { return s.bench.jack_depth_at_dip; }},
    {{"jack_clearance_at_dip", "jack top to knuckle at full dip", LW_LENGTH, 2},
     "bench",
     "",
     "full dip: jack top to knuckle, mm",
     "jack top to knuckle leather at full dip",
     kAll,
     -20 * kMm,
     30 * kMm,
     kNotFound,
     [](const S& s) { return s.bench.jack_clearance_at_dip; }},
    {{"cap_edge_to_cloth_edge", "cap edge to cloth edge at half stroke", LW_LENGTH, 2},
     "bench",
     "",
     "half stroke: cap edge to cloth edge, mm",
     "cap's edge to the nearer end of the heel's cloth",
     kAll,
     -40 * kMm,
     40 * kMm,
     kNotFound,
     [](const S& s) { return s.bench.cap_to_cloth_edge; }},
    {{"contact_above_line_of_centres", "contact above the line of centres at half stroke", LW_LENGTH, 2},
     "bench",
     "line_distance",
     "half stroke: above line of centres, mm",
     "capstan's contact to the straight line from the balance pin to the wippen centre",
     kAll,
     -60 * kMm,
     60 * kMm,
     kNotFound,
     [](const S& s) { return s.bench.line_distance_half; }},
    {{"cap_edge_margin", "least margin to the cap's edge", LW_LENGTH, 2},
     "bench",
     "",
     "least margin to the cap's edge, mm",
     "least distance of the contact from the end of the cap's dome, over the stroke",
     kAll,
     -20 * kMm,
     20 * kMm,
     kNowhereBears,
     [](const S& s) { return margin(s.bench.cap_edge_margin); }},
    {{"lifting_face_margin", "least margin on the lifting face", LW_LENGTH, 2},
     "bench",
     "face_margin",
     "least margin on the lifting face, mm",
     "least distance of the contact from the ends of the face, over the stroke",
     kAll,
     -40 * kMm,
     40 * kMm,
     kNowhereBears,
     [](const S& s) { return margin(s.bench.face_margin); }},
    {{"front_weight", "front weight as it stands", LW_FORCE, 1},
     "lead",
     "",
     "front weight as it stands, gf",
     "as it would be weighed after the change",
     kReg,
     -500 * kGf,
     500 * kGf,
     kNotFound,
     [](const S& s) { return s.design.front_weight; }},
    {{"wippen_weight", "wippen weight", LW_FORCE, 1},
     "bench",
     "",
     "wippen weight",
     "as it would be weighed after the change",
     kReg,
     0,
     200 * kGf,
     kNotFound,
     [](const S& s) { return s.design.wippen_weight; }},
    {{"key_height", "key height at rest", LW_LENGTH, 2},
     "bench",
     "",
     "key height at rest",
     "playing point at rest, positive higher",
     kReg,
     -15 * kMm,
     15 * kMm,
     kNotFound,
     [](const S& s) { return -s.regulated.travel_rest; }},
    // Screws, in the order of action::Screw.
    LW_SETTING("capstan", "capstan_height", "capstan", action::kCapstan, "m", "mm"),
    LW_SETTING("front_punching", "", "front punching", action::kFrontPunching, "m", "mm"),
    LW_SETTING("let_off_button", "", "let-off button", action::kLetOffButton, "m", "mm"),
    LW_SETTING("drop_screw", "", "drop screw", action::kDropScrew, "m", "mm"),
    LW_SETTING("jack_stop", "jack_button", "jack button", action::kJackStop, "m", "mm"),
    LW_SETTING("lever_stop", "", "lever height", action::kLeverStop, "m", "mm"),
    LW_SETTING("back_check", "", "back check", action::kBackCheck, "m", "mm"),
    LW_SETTING("repetition_spring", "", "repetition spring", action::kRepetitionSpring, "N m", "N mm"),
    // Against the base.
    LW_TURNS("capstan", "capstan", action::kCapstan),
    LW_TURNS("front_punching", "front punching", action::kFrontPunching),
    LW_TURNS("let_off_button", "let-off button", action::kLetOffButton),
    LW_TURNS("drop_screw", "drop screw", action::kDropScrew),
    LW_TURNS("jack_stop", "jack button", action::kJackStop),
    LW_TURNS("lever_stop", "lever height", action::kLeverStop),
    LW_TURNS("back_check", "back check", action::kBackCheck),
    LW_TURNS("repetition_spring", "repetition spring", action::kRepetitionSpring),
    LW_LEFT("capstan", "capstan", action::kCapstan, "m", "mm"),
    LW_LEFT("front_punching", "front punching", action::kFrontPunching, "m", "mm"),
    LW_LEFT("let_off_button", "let-off button", action::kLetOffButton, "m", "mm"),
    LW_LEFT("drop_screw", "drop screw", action::kDropScrew, "m", "mm"),
    LW_LEFT("jack_stop", "jack button", action::kJackStop, "m", "mm"),
    LW_LEFT("lever_stop", "lever height", action::kLeverStop, "m", "mm"),
    LW_LEFT("back_check", "back check", action::kBackCheck, "m", "mm"),
    LW_LEFT("repetition_spring", "repetition spring", action::kRepetitionSpring, "N m", "N mm"),
    {{"key_height_change", "key height at rest against the base", LW_LENGTH, 2},
     "bench",
     "",
     "key height",
     "playing point at rest, positive higher than the base's",
     kVs,
     -15 * kMm,
     15 * kMm,
     kNotFound,
     [](const S& s) { return s.key_height_change; }},
    {{"lead_mass", "lead that brings the wanted balance weight (negative: take out)", "kg", "g", 1e3, 1},
     "lead",
     "",
     "lead",
     "at the distance given; balance weight falls by the lead's moment over the key's front arm",
     kVs,
     -2,
     2,
     kNotFound,
     [](const S& s) { return s.lead_mass; }},
    {{"lead_distance", "distance of that lead in front of the balance hole", LW_LENGTH, 0},
     "lead",
     "",
     "distance of that lead",
     "where the fewest leads of one mass that is sold meet the moment exactly",
     kVs,
     0,
     600 * kMm,
     kNotFound,
     [](const S& s) { return s.lead_distance; }},
    {{"front_weight_with_lead", "front weight with that lead", LW_FORCE, 1},
     "lead",
     "",
     "front weight with that lead",
     "front weight as it stands and the lead's moment over the key's front arm",
     kVs,
     -500 * kGf,
     500 * kGf,
     kNotFound,
     [](const S& s) { return front_weight_with_lead(s); }},
}};

std::size_t find_quantity(const std::string& key_or_name) {
  std::size_t k = 0;
  for (; k < kQuantityCount; ++k) {
    const Quantity& q = kQuantities[k];
    if (key_or_name == q.key || key_or_name == q.name || (*q.also != '\0' && key_or_name == q.also)) break;
  }
  return k;
}

Reading read_quantity(const Quantity& q, const SetUpResult& s) {
  const auto absent = [](std::string why) { return Reading{kNone, std::move(why)}; };
  if (!s.misfit.empty()) return absent(s.misfit);
  if (s.regulated.dip_let_off <= 0) return absent(why_no_answer(s));
  if (q.needs != Needs::kRegulated && !s.weighing.ok) return absent(why_no_answer(s));
  if (q.needs == Needs::kWholeStroke && !s.whole_stroke)
    return absent("this study weighs without let-off and full dip");
  if (q.needs == Needs::kBase && !s.compared) return absent("there is no base to compare with");
  const double value = q.value(s);
  if (std::isnan(value)) return absent(q.absent);
  if (value < q.low || value > q.high)
    return absent(fmt::format("{:.{}f} {} is nothing an action can have ({:.{}f} to {:.{}f})",
                              value * q.display_factor, q.decimals, q.display_unit, q.low * q.display_factor,
                              q.decimals, q.high * q.display_factor, q.decimals));
  return {value, ""};
}

QuantityValues read_quantities(const SetUpResult& s) {
  QuantityValues out{};
  for (std::size_t k = 0; k < kQuantityCount; ++k) out[k] = read_quantity(kQuantities[k], s).value;
  return out;
}

Measures read_measures(const SetUpResult& s) {
  Measures out{};
  for (std::size_t k = 0; k < kMeasureCount; ++k) out[k] = read_quantity(kQuantities[k], s).value;
  return out;
}

double front_weight_with_lead(const SetUpResult& s) {
  return s.design.front_weight + s.lead_mass * base::kGravity * s.lead_distance / s.design.key_front_arm;
}

// The measures as a table of their own, for who goes through them alone.
namespace {
std::array<MeasureInfo, kMeasureCount> first_quantities() {
  std::array<MeasureInfo, kMeasureCount> out{};
  for (std::size_t k = 0; k < kMeasureCount; ++k) out[k] = kQuantities[k];
  return out;
}
}  // namespace
const std::array<MeasureInfo, kMeasureCount> kMeasures = first_quantities();

}  // namespace leverwright::study

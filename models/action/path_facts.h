// The facts of a weighed path, computed here and nowhere else; every table, picture and file reads them.
//
// Window   the dips from Weighing::window_from to window_to; both are samples of the path.
// Mean     of a row of the friction ledger over the window, half of what is lost going down and coming up,
// each row
//          a straight line between samples (sim/analysis/ledger.h).
// Slide    of one place going down, from rest to the dip named: how far the two surfaces slid past each
// other, all
//          reversals added (sim/analysis/slide_path.h). A place bearing less than kLeastNormal leaves no mark
//          and counts as open.
// Line of centres  the straight line through the pins of the two levers in contact: key and wippen for the
// capstan,
//          hammer and wippen for jack and repetition lever on the knuckle (jack and lever ride on the
//          wippen).
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "models/action/weigh.h"
#include "sim/analysis/ledger.h"
#include "sim/analysis/slide_path.h"

namespace leverwright::action {

inline constexpr double kLeastNormal = 0.02;  // [N], about 2 gf

// The place's contacts as a group of the mechanism: an index into Mechanism::groups().
int group_of(const Action& action, ContactId place);

// Where surfaces slide in a stroke, in the order of the handbook: C3 to C7.
inline constexpr std::array<ContactId, 5> kRubbingContacts = {kCapstanHeel, kJackKnuckle, kLeverKnuckle,
                                                              kTenderButton, kLeverDropScrew};

struct PathFacts {
  analysis::FrictionLedger ledger;  // means over the window; no rows where nothing was weighed
  std::array<analysis::SlidePath, kRubbingContacts.size()> slides;  // going down, as far as the path goes
  double capstan_friction = 0;  // rubbing of the capstan on the heel, mean over the window [N]
  double slide_to_let_off = 0,
         slide_to_end = 0;  // of the capstan on the heel [m]; the end: full dip, when weighed so far
};
PathFacts find_path_facts(const Action& action, const Regulated& regulated, const Weighing& weighing);

// Distance of a point from the place's line of centres, positive above [m]; empty where the place has no such
// line.
std::optional<double> line_distance(const Action& action, const planar::VecQ& q, ContactId place,
                                    const Vec2& p);

// Sample nearest to a dip; the path must not be empty.
const run::StaticSample& sample_near(const std::vector<run::StaticSample>& samples, double dip);

// Adds what the capstan's contact with the heel says over the whole stroke to the weighing's warnings: riding
// on an edge, off the lifting face, on the wood, or not sliding at all.
void warn_of_heel(const Action& action, double dip_let_off, Weighing& weighing);

// Product of the straight arms at half stroke.
double find_lever_product(const Action& action, const run::StaticSample& half_stroke);

}  // namespace leverwright::action

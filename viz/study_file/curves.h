// What each chart needs of a study, in SI units.
//
// Where the results file keeps it (below /set_ups/NN unless said otherwise; * may be missing: the figure then
// goes without):
//
//   force against dip   statics/down, statics/up: dip, force; numbers: "down weight", "up weight";
//                       * attribute let_off_dip on statics/down, else the dip of position let_off
//   slide path          slide/C3: dip, place_on_heel (x in the wippen's frame, m), normal_force;
//                       scene/features/heel_surface: points [n x 2] in the wippen's frame;
//                       * its attributes face_from, face_to (x of the lifting face's ends, m)
//   friction ledger     statics/down: ledger [dips x places], columns named by contact id or trade word; the
//                       figure shows the mean over the window from 1 mm of dip to the tender meeting its button,
//                       * attribute button_dip on statics/down (else let_off_dip, else the last dip)
//   strokes             strokes/TOUCH: time, key_dip, hammer_distance, * hammer_speed, * key_speed; table events
//   action to scale     scene/bodies/BODY: outline [n x 2] m, attributes colour_role, * pivot_x, * pivot_y,
//                       * label;
//                       * scene/features/NAME: points [n x 2] m in the body's frame, attributes body, kind
//                       (solid, line, circle, cap, heel surface, spring), colour_role, * radius (circle),
//                       * body_b (spring: second row of points is in that body's frame);
//                       scene/positions: bodies, rest, half_stroke, let_off, * attribute dip_MOMENT;
//                       * scene/contacts: names, MOMENT [contacts x 4 or 6] x, y of the contact in W, force
//                       x, y on the driven body (NaN = open), * the force's part along the normal;
//                       * slide/C3, C4, C5: traces on the heel cloth and the knuckle
//   ratio curve         * ratio: dip, distance_ratio (without friction); else statics/down: * distance_ratio
//   changes             numbers: change_against_base, sigma_of_change
//   energy flow         strokes/TOUCH: * energies, columns named work, lost, kinetic, ...
//
// Colour roles: key wood, wippen wood, jack, lever, hammer, felt, leather, metal, string, rail.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "viz/study_file/action.h"
#include "viz/study_file/stored_study.h"

namespace leverwright::study_file {

struct ForceDipCurve {
  std::string set_up;
  std::vector<double> dip_down, force_down;  // m, N
  std::vector<double> dip_up, force_up;
  std::optional<double> down_weight, up_weight;  // N
  std::optional<double> let_off_dip;             // m
};

struct SlidePath {
  std::string set_up;
  std::vector<double> dip, place, normal_force;  // m, m (x in the wippen's frame), N; NaN where open
  std::vector<scene::Point> heel_surface;        // m, wippen's frame
  std::optional<double> face_from, face_to;      // m
};

struct LedgerRow {
  std::string place;  // trade words
  double force = 0;   // N at the playing point
};
struct Ledger {
  std::string set_up;
  std::vector<LedgerRow> rows;
  std::optional<double> weighed;  // (D-U)/2, N
};

struct Stroke {
  std::string set_up, touch;
  std::vector<double> time, key_dip, hammer_distance;  // s, m, m (hammer to string)
  std::vector<double> hammer_speed, key_speed;         // m/s; may be empty
  std::vector<Event> events;
  std::vector<std::string> energy_names;      // "work", "lost", "kinetic", ...; may be empty
  std::vector<std::vector<double>> energies;  // one list over time for each, J
};

struct RatioCurve {  // strike-point travel over playing-point travel
  std::string set_up;
  std::vector<double> dip, ratio;  // m, 1
  bool frictionless = false;       // as the ratio is defined; else read off the slow path with friction
  std::optional<double> button_dip = {};  // where the tender meets its button, m
};

struct Change {  // of one measure of one set-up against the first, with one standard deviation
  std::string set_up, measure, unit;  // unit a person reads
  double value = 0, sigma = 0;        // in that unit; sigma 0: not known
  double noticeable = 0;              // the least change a player notices, in that unit; 0: not stored
};

struct StudyFigures {
  std::string path;  // of the results file; "": none
  std::string title;
  std::string finding;  // what to do, a sentence without its stop; "": no judgement
  std::vector<ForceDipCurve> force_dip;
  std::vector<SlidePath> slide_paths;
  std::vector<Ledger> ledgers;
  std::vector<Stroke> strokes;
  std::vector<RatioCurve> ratios;
  std::vector<Change> changes;
  ActionPictures action;
};

// UserError when the file holds no finished set-up.
StudyFigures read_curves(const StoredStudy& study);

}  // namespace leverwright::study_file

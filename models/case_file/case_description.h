// What a case file says, after parts and materials are merged in: a flat table of quantities in SI units,
// each with its uncertainty and the place it was read from, plus choices, lists and set-ups.
//
// Everything downstream (building the action, uncertainty, seek, calibration) sees only this table, so an
// input is perturbed, fixed or estimated by its key alone.
#pragma once
#include <map>
#include <string>
#include <vector>

namespace leverwright::case_file {

enum class Dimension {
  kLength,            // mm            -> m
  kAngle,             // deg           -> rad
  kMass,              // g             -> kg     (a mass; never gf)
  kWeight,            // gf or N       -> N      (a scale reading or force; never g)
  kTorque,            // "3 gf at 23 mm" or "N m" -> N m
  kInertia,           // g mm2, kg m2  -> kg m2
  kStiffness,         // N/mm, N/m     -> N/m
  kAngularStiffness,  // N m/rad
  kAngularDamping,    // N m s/rad
  kDamping,           // N s/m         -> N s/m
  kDampingTime,       // s/m (the Hunt-Crossley factor of a cloth)
  kTime,              // s, ms         -> s
  kSpeed,             // m/s, mm/s     -> m/s
  kDensity,           // g/cm3, kg/m3  -> kg/m3
  kNumber,            // plain number (friction coefficient, exponent, ratio)
  kCount,             // plain whole number
};

enum class Knowledge {
  kMeasured,  // normal, sigma is one standard deviation
  kEstimate,  // uniform over [low, high]
  kExact,     // settings and specifications: no uncertainty
};

struct Origin {  // where something was read
  std::string file;
  int line = 0;
  std::string line_text;
};

struct Quantity {
  double value = 0;  // SI
  Dimension dimension = Dimension::kNumber;
  Knowledge knowledge = Knowledge::kExact;
  double sigma = 0;          // one standard deviation, SI (for kEstimate: (high-low)/sqrt(12))
  double low = 0, high = 0;  // bounds of a kEstimate, SI
  std::string source;        // citation, "invented", "bench", "estimate", "common practice, no source"
  Origin place;              // empty file: the documented default of the schema
  bool from_default = false;
};

// One point list such as a traced heel profile: metres, in the frame the schema names.
struct PointList {
  std::vector<double> x, y;
  double sigma = 0;  // one standard deviation of each coordinate, m
  std::string source;
  Origin place;
};

struct Lead {
  double mass = 0;      // kg
  double distance = 0;  // m from the balance hole, positive towards the player
  double sigma_mass = 0, sigma_distance = 0;
  Origin place;
};

class Remedy;

// One change of a set-up as written: which remedy it is, and its arguments (quantities by short name, e.g.
// "height"), or choices (e.g. direction = "..."). A remedy that puts other values in place of the case's own
// ("part", "material", "set value") finds those values under their full paths ("wippen.jack_length").
struct Change {
  const Remedy* remedy = nullptr;  // settled on reading; never null afterwards
  std::map<std::string, Quantity> quantities;
  std::map<std::string, std::string> choices;
  std::map<std::string, PointList> point_lists;
  Origin place;

  const std::string& kind() const;  // its remedy's name: "heel build-up"
  bool has(const std::string& amount) const { return quantities.count(amount) != 0; }
  // In SI; a programmer error when the amount is not there.
  double amount(const std::string& name) const { return quantities.at(name).value; }
  double amount_or(const std::string& name, double otherwise) const;
  std::string word(const std::string& argument) const;  // "" when it is not given
  bool says(const std::string& argument, const std::string& word) const;
};

struct SetUp {
  std::string name;
  std::string description;
  std::vector<Change> changes;
  Origin place;
};

// What readings of the action as found leave of the doubt along one combination of uncertain inputs
// (models/calibrate/as_found.h). Inputs go by study::id_of.
struct Told {
  std::map<std::string, double> along;  // component in standard deviations of the input; length 1 in all
  double left = 1;                      // standard deviation left along it, of 1 before
};

struct CaseDescription {
  std::string title, question, story, instrument;
  bool invented = false;
  std::map<std::string, Quantity> quantities;    // key path, e.g. "measured.spread"
  std::map<std::string, std::string> choices;    // e.g. "regulation.policy", "contact_grade"
  std::map<std::string, Origin> choice_origins;  // where a choice was read; none for the schema's default
  std::map<std::string, PointList> point_lists;  // e.g. "wippen.heel_profile", "wippen.outline"
  std::vector<Lead> leads;
  std::vector<SetUp> set_ups;  // the first one is the base
  std::string text;            // the case file verbatim
  std::string path;
  std::vector<std::string> warnings;  // e.g. printed numbers that disagree with one another
  std::vector<Told> told;             // of the uncertain values, where readings were leaned on
  std::vector<std::string> notes;     // said with every answer: what it rests on, in sentences

  // Value in SI; a programmer error (std::logic_error) when the key is not there.
  double value(const std::string& key) const;
  const Quantity& quantity(const std::string& key) const;
  const std::string& choice(const std::string& key) const;
  // True when a quantity, choice or point list of this key is there.
  bool has(const std::string& key) const;
  const PointList& point_list(const std::string& key) const;
};

}  // namespace leverwright::case_file

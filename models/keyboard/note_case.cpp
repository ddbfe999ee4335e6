#include "models/keyboard/note_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/quantity.h"
#include "models/case_file/reconcile.h"
#include "models/case_file/schema.h"
#include "models/remedies/all.h"

namespace leverwright::keyboard {

using case_file::CaseDescription;
using case_file::Quantity;

namespace {

constexpr const char *kRear = "measured.key_rear_length", *kHole = "measured.balance_hole_to_wippen_centre",
                     *kHeel = "measured.heel_contact_arm";

void put(CaseDescription& d, const std::string& key, double value, double sigma) {
  Quantity& q = d.quantities[key];
  if (const auto* spec = case_file::schema().find_key(key)) q.dimension = spec->dimension;
  q.value = value;
  q.sigma = sigma;
  q.low = q.high = value;
  q.knowledge = sigma > 0 ? case_file::Knowledge::kMeasured : case_file::Knowledge::kExact;
  q.source = "carried from sample notes";
  q.from_default = false;
}

// Key friction was read as one: each bushing takes its share of the base's, and of the variance.
void put_key_friction(CaseDescription& d, const NoteValue& v) {
  const char* keys[] = {"friction.key_balance", "friction.key_front"};
  const double sum = d.value(keys[0]) + d.value(keys[1]);
  const double share = sum > 0 ? d.value(keys[0]) / sum : 0.5;
  const double squares = share * share + (1 - share) * (1 - share);
  put(d, keys[0], std::max(0.0, share * v.value), share * v.sigma / std::sqrt(squares));
  put(d, keys[1], std::max(0.0, (1 - share) * v.value), (1 - share) * v.sigma / std::sqrt(squares));
}

// One lead with the same first moment and inertia as all: m = M1^2 / M2, d = M2 / M1.
void put_leads(CaseDescription& d, double front_weight, double reflected) {
  const double front = d.value("measured.key_front_length");
  const double moment = lead_moment_for(front_weight, front), inertia = reflected * front * front;
  d.leads.clear();
  if (!(inertia > 0) || moment == 0) return;
  case_file::Lead lead;
  lead.mass = moment * moment / inertia;
  lead.distance = inertia / moment;
  d.leads.push_back(lead);
}

void leave_out_what_the_others_fix(CaseDescription& d, const KeyboardCase& in) {
  const bool rear = in.find(kRear), hole = in.find(kHole), heel = in.find(kHeel);
  const int known = (rear ? 1 : 0) + (hole ? 1 : 0) + (heel ? 1 : 0);
  if (known == 0 || known == 3) return;
  const char* out = known == 2 ? (!rear ? kRear : !hole ? kHole : kHeel) : rear ? kHole : kRear;
  // Only where the rest still fix the geometry.
  int left = 0;
  for (const char* key : {kRear, kHole, kHeel}) left += d.has(key) && key != out;
  if (left >= 2) d.quantities.erase(out);
}

Quantity exact(double value, case_file::Dimension dimension) {
  Quantity q;
  q.value = value;
  q.dimension = dimension;
  return q;
}

}  // namespace

std::vector<Carried> carry_all(const KeyboardCase& in) {
  std::vector<Carried> out;
  for (const SampleColumn& c : in.columns) {
    std::vector<Sample> samples = c.samples;
    if (c.logarithmic)
      for (Sample& s : samples) {
        s.sigma /= s.value;
        s.value = std::log(s.value);
      }
    out.push_back(carry(samples, c.law));
  }
  return out;
}

NoteValue value_at(const SampleColumn& column, const Carried& carried, int note) {
  const CarriedNote& n = carried.at(note);
  NoteValue v{n.value, n.sigma, n.value - n.band, n.value + n.band, n.line};
  if (!column.logarithmic) return v;
  return {std::exp(v.value), std::exp(v.value) * v.sigma, std::exp(v.low), std::exp(v.high),
          std::exp(v.line)};
}

CaseDescription describe_note(const CaseDescription& base, const KeyboardCase& in,
                              const std::vector<Carried>& carried, int note) {
  CaseDescription d = base;
  d.text.clear();
  d.set_ups.resize(1);
  d.quantities["note.number"].value = note;
  d.choices["note.name"] = note_name(note);
  d.choices["note.kind"] = is_sharp(note) ? "sharp" : "natural";
  double lead_weight = 0, lead_reflected = 0;
  for (std::size_t c = 0; c < in.columns.size(); ++c) {
    const SampleColumn& column = in.columns[c];
    const NoteValue v = value_at(column, carried[c], note);
    if (column.key == "key_friction")
      put_key_friction(d, v);
    else if (column.key == "lead_front_weight")
      lead_weight = v.value;
    else if (column.key == "lead_reflected")
      lead_reflected = v.value;
    else if (column.key.find('.') != std::string::npos)
      put(d, column.key, column.key.rfind("friction.", 0) == 0 ? std::max(0.0, v.value) : v.value, v.sigma);
  }
  if (in.find("lead_reflected")) put_leads(d, lead_weight, lead_reflected);
  leave_out_what_the_others_fix(d, in);
  return d;
}

std::string find_implausible(const KeyboardCase& in, const std::vector<Carried>& carried, int note) {
  for (std::size_t c = 0; c < in.columns.size(); ++c) {
    const auto* spec = case_file::schema().find_key(in.columns[c].key);
    if (spec == nullptr || spec->range.empty()) continue;
    const case_file::Range range = case_file::read_range(spec->range, spec->dimension);
    const double value = value_at(in.columns[c], carried[c], note).value;
    // A friction that comes out below nothing is taken as none.
    if (value > range.high || (value < range.low && in.columns[c].key.rfind("friction.", 0) != 0))
      return fmt::format("carried beyond what is plausible: {}", in.columns[c].name);
  }
  return "";
}

void move_capstan(CaseDescription& d, double shift) {
  if (shift == 0) return;
  case_file::Change c;
  c.remedy = &remedies::capstan_moved();
  c.quantities["distance"] = exact(std::abs(shift), case_file::Dimension::kLength);
  c.choices["direction"] = shift > 0 ? "toward the strings" : "toward the balance rail";
  d.set_ups.front().changes.push_back(c);
}

void fit_spring(CaseDescription& d, double strength, double fade) {
  case_file::Change c;
  c.remedy = &remedies::assist_spring();
  c.quantities["strength"] = exact(strength, case_file::Dimension::kWeight);
  c.quantities["fade"] = exact(fade, case_file::Dimension::kNumber);
  d.set_ups.front().changes.push_back(c);
}

double capstan_place(const CaseDescription& d) {
  const case_file::ReconciledGeometry g = case_file::reconcile(d);
  return g.p_WP.x() - g.p_WC.x();
}

}  // namespace leverwright::keyboard

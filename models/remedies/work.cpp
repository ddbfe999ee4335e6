#include "models/remedies/work.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/schema.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using base::kDegree;
using base::kGramForce;
using case_file::Dimension;

std::string Hand::plain(const char* argument) const {
  std::string out = word(argument);
  std::replace(out.begin(), out.end(), '_', ' ');
  return out;
}

std::string Hand::mm_words(const char* amount, int decimals) const {
  return fmt::format("{:.{}f} mm", std::abs(value(amount)) * 1e3, decimals);
}

std::string Hand::gf_words(const char* amount) const {
  return fmt::format("{:.1f} gf", std::abs(value(amount)) / kGramForce);
}

std::string Hand::way(const char* amount) const {
  const std::string given = word("direction");
  if (value(amount) >= 0) return given;
  for (const auto& argument : c.remedy->row.arguments)
    if (argument.name == "direction")
      for (const std::string& other : argument.words)
        if (other != given) return other;
  return given;
}

std::string on_key(double distance) {
  return fmt::format("{:.1f} mm {} the balance hole", std::abs(distance) * 1e3,
                     distance >= 0 ? "in front of" : "behind");
}

const Exactness* Work::find(const std::string& argument) const {
  for (const Exactness* e : exactness)
    if (e->argument == argument) return e;
  return nullptr;
}

void Work::mark(const std::string& what, double amount_si, const std::string& unit, int decimals,
                const std::string& from, const std::string& argument) {
  const double si = mark_unit_in_si(unit);
  Mark out;
  out.what = what;
  out.value = amount_si / si;
  out.unit = unit;
  out.decimals = decimals;
  out.from = from;
  if (const Exactness* e = find(argument)) {
    out.tolerance = e->tolerance / si;
    out.critical = e->critical;
    if (!e->why_not.empty())
      out.because = "next to it: " + e->why_not;
    else if (e->critical)
      out.because = e->decided_by;
    else
      out.because = "more would do";
  }
  marks.push_back(out);
}

void Work::mark_friction_to_aim_for() {
  mark("friction to aim for, (down - up) / 2", found.friction, "gf", 1, "weighed, regulated");
}

void Work::mark_balance_weight() {
  mark("balance weight then", found.balance_weight, "gf", 1, "half of down plus up");
}

void Work::mark_bought_amounts() {
  std::vector<const Exactness*> tight;
  for (const auto& [name, q] : c.quantities) {
    const Exactness* e = find(name);
    if (e != nullptr && e->tolerance > 0 && e->critical) tight.push_back(e);
  }
  std::sort(tight.begin(), tight.end(), [](const Exactness* a, const Exactness* b) {
    return a->tolerance / std::max(a->scatter, 1e-12) < b->tolerance / std::max(b->scatter, 1e-12);
  });
  constexpr std::size_t kMost = 8;
  for (std::size_t k = 0; k < tight.size() && k < kMost; ++k) {
    const Exactness& e = *tight[k];
    const case_file::KeySpec* spec = case_file::schema().find_key(e.argument);
    const std::string unit = mark_unit_of(e.dimension);
    mark(plain_key(e.argument), e.value, unit, unit.empty() ? 2 : 1, spec != nullptr ? spec->description : "",
         e.argument);
  }
}

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

std::string mark_unit_of(Dimension d) {
  switch (d) {
    case Dimension::kLength:
      return "mm";
    case Dimension::kAngle:
      return "deg";
    case Dimension::kMass:
      return "g";
    case Dimension::kWeight:
      return "gf";
    case Dimension::kTorque:
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

}  // namespace leverwright::remedies

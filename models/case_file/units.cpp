#include "models/case_file/units.h"

#include <algorithm>
#include <cctype>
#include <map>

#include "sim/base/units.h"
#include "sim/base/words.h"

namespace leverwright::case_file {

namespace {
using base::kDegree;
using base::kGramForce;

void replace_all(std::string& text, const std::string& from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
    text.replace(at, from.size(), to);
}
}  // namespace

const std::vector<Unit>& unit_table() {
  // The first word of a dimension is the trade unit.
  static const std::vector<Unit> table = {
      {"mm", Dimension::kLength, 1e-3},
      {"cm", Dimension::kLength, 1e-2},
      {"m", Dimension::kLength, 1},
      {"deg", Dimension::kAngle, kDegree},
      {"rad", Dimension::kAngle, 1},
      {"g", Dimension::kMass, 1e-3},
      {"kg", Dimension::kMass, 1},
      {"gf", Dimension::kWeight, kGramForce},
      {"N", Dimension::kWeight, 1},
      {"mN", Dimension::kWeight, 1e-3},
      {"N m", Dimension::kTorque, 1},
      {"mN m", Dimension::kTorque, 1e-3},
      {"N mm", Dimension::kTorque, 1e-3},
      {"gf mm", Dimension::kTorque, kGramForce * 1e-3},
      {"gf cm", Dimension::kTorque, kGramForce * 1e-2},
      {"g mm2", Dimension::kInertia, 1e-9},
      {"g cm2", Dimension::kInertia, 1e-7},
      {"kg m2", Dimension::kInertia, 1},
      {"N/mm", Dimension::kStiffness, 1e3},
      {"N/m", Dimension::kStiffness, 1},
      {"gf/mm", Dimension::kStiffness, kGramForce * 1e3},
      {"N m/rad", Dimension::kAngularStiffness, 1},
      {"N m/deg", Dimension::kAngularStiffness, 1 / kDegree},
      {"N m s/rad", Dimension::kAngularDamping, 1},
      {"N m s", Dimension::kAngularDamping, 1},
      {"N s/m", Dimension::kDamping, 1},
      {"N s/mm", Dimension::kDamping, 1e3},
      {"s/m", Dimension::kDampingTime, 1},
      {"s/mm", Dimension::kDampingTime, 1e3},
      {"s", Dimension::kTime, 1},
      {"ms", Dimension::kTime, 1e-3},
      {"m/s", Dimension::kSpeed, 1},
      {"mm/s", Dimension::kSpeed, 1e-3},
      {"cm/s", Dimension::kSpeed, 1e-2},
      {"g/cm3", Dimension::kDensity, 1e3},
      {"kg/m3", Dimension::kDensity, 1},
  };
  return table;
}

std::string normalise_unit(std::string_view written) {
  std::string text(written);
  replace_all(text, "\xC2\xB0", "deg");  // degree sign
  replace_all(text, "\xC2\xB2", "2");    // superscript two
  replace_all(text, "\xC2\xB3", "3");    // superscript three
  replace_all(text, "\xC2\xB7", " ");    // middle dot
  replace_all(text, "\xC2\xA0", " ");    // no-break space
  replace_all(text, "*", " ");
  replace_all(text, "^", "");
  std::string out;
  for (char c : text) {
    const bool blank = std::isspace(static_cast<unsigned char>(c)) != 0;
    if (blank && (out.empty() || out.back() == ' ' || out.back() == '/')) continue;
    if (c == '/' && !out.empty() && out.back() == ' ') out.pop_back();
    out += blank ? ' ' : c;
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  static const std::map<std::string, std::string> run_together = {
      {"Nm", "N m"},         {"mNm", "mN m"},       {"Nmm", "N mm"},           {"gfmm", "gf mm"},
      {"gfcm", "gf cm"},     {"gmm2", "g mm2"},     {"gcm2", "g cm2"},         {"kgm2", "kg m2"},
      {"Nm/rad", "N m/rad"}, {"Nm/deg", "N m/deg"}, {"Nm s/rad", "N m s/rad"}, {"Nms/rad", "N m s/rad"},
      {"Ns/m", "N s/m"},     {"Ns/mm", "N s/mm"},   {"Nms", "N m s"},
  };
  const auto found = run_together.find(out);
  return found == run_together.end() ? out : found->second;
}

const Unit* find_unit(const std::string& normalised) {
  for (const Unit& unit : unit_table())
    if (normalised == unit.word) return &unit;
  return nullptr;
}

std::string hint_for_unit(const std::string& normalised) {
  const std::string lower = base::lower(normalised);
  if (lower == "in" || lower == "inch" || lower == "inches" || lower == "\"" || lower == "''")
    return "write millimetres: 1 inch is 25.4 mm";
  if (lower == "oz") return "1 oz on a scale is 28.35 gf; as a mass it is 28.35 g";
  if (lower == "lb" || lower == "lbs" || lower == "lbf")
    return "1 lb on a scale is 453.6 gf; as a mass it is 453.6 g";
  if (lower == "gram" || lower == "grams" || lower == "gr" || lower == "gramm")
    return "write gf for a scale reading (a weight) and g for a mass";
  if (lower == "kgf" || lower == "kp") return "write gf: 1 kgf is 1000 gf";
  if (lower == "degree" || lower == "degrees") return "write deg";
  if (lower == "millimeter" || lower == "millimetre" || lower == "millimeters" || lower == "millimetres")
    return "write mm";
  if (lower == "newton" || lower == "newtons") return "write N";
  if (lower == "sec" || lower == "second" || lower == "seconds") return "write s";
  for (const Unit& unit : unit_table()) {
    const std::string word = base::lower(unit.word);
    if (word == lower || word + "." == lower) return std::string("write ") + unit.word;
  }
  return "";
}

}  // namespace leverwright::case_file

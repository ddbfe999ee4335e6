#include "models/keyboard/read_samples.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>

#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/case_file/sheet_text.h"
#include "models/case_file/trade_names.h"
#include "sim/base/units.h"

namespace leverwright::keyboard {

using case_file::Dimension;
using case_file::FileText;
using case_file::ProblemList;
using case_file::Quantity;

namespace {

struct LawRow {
  const char* head;  // beginning of the key
  int degree;
  bool apart, logarithmic;
};
// The first that fits. Key levers are drawn with straight lines, naturals and sharps each their own; hammers
// are bored and tapered so that their weight falls along a bow.
constexpr LawRow kLaws[] = {
    {"measured.key_front_length", 1, true, false},
    {"measured.key_rear_length", 1, true, false},
    {"measured.balance_hole_to_wippen_centre", 1, true, false},
    {"measured.front_weight", 2, true, false},
    {"measured.strike_weight", 2, false, false},
    {"measured.down_weight", 1, true, false},
    {"measured.up_weight", 1, true, false},
    {"lead_", 2, true, false},
    {"bare_front_weight", 1, true, false},
    {"wanted_capstan", 1, true, false},
    {"key.", 1, true, false},
    {"contact.hammer_string.test_force", 1, false, true},
    {"", 1, false, false},
};

struct Shown {
  Dimension dimension;
  const char *unit, *display_unit;
  int decimals;
};
constexpr Shown kShown[] = {
    {Dimension::kLength, "m", "mm", 1},      {Dimension::kWeight, "N", "gf", 1},
    {Dimension::kMass, "kg", "g", 1},        {Dimension::kAngle, "rad", "deg", 1},
    {Dimension::kTorque, "N m", "gf mm", 0}, {Dimension::kNumber, "1", "1", 2},
    {Dimension::kCount, "1", "1", 0},        {Dimension::kStiffness, "N/m", "N/mm", 1},
};

struct Heading {
  enum class Use { kNote, kValue, kLeads, kBad } use = Use::kBad;
  std::string key, unit, usual, range;
  Dimension dimension = Dimension::kNumber;
};

constexpr const char* kHeads[] = {"", "measured.", "friction.", "key."};

Heading read_heading(const std::string& written, const FileText& file, int line, ProblemList& problems) {
  Heading h;
  const auto [name, unit] = case_file::split_heading(written);
  h.unit = unit;
  if (name == "note" || name == "leads") {
    h.use = name == "note" ? Heading::Use::kNote : Heading::Use::kLeads;
    return h;
  }
  if (name == "key_friction") {
    h = {Heading::Use::kValue, name, h.unit, "1 gf", "0 to 20 gf", Dimension::kWeight};
  } else if (name == "wanted_capstan") {
    h = {Heading::Use::kValue, name, h.unit, "0.5 mm", "30 to 100 mm", Dimension::kLength};
  } else {
    for (const char* head : kHeads) {
      const auto* spec = case_file::schema().find_key(head + name);
      if (spec == nullptr) continue;
      h = {Heading::Use::kValue, spec->path, h.unit, spec->default_sigma, spec->range, spec->dimension};
      break;
    }
  }
  if (h.use == Heading::Use::kBad) {
    std::vector<std::string> known = {"note", "leads", "key_friction", "wanted_capstan"};
    for (const auto& [path, unused] : case_file::schema().keys) {
      known.push_back(path);
      known.push_back(path.substr(path.rfind('.') + 1));
    }
    const std::string near = case_file::nearest_word(name, known);
    problems.add(
        file, line, fmt::format("unknown column \"{}\"", name),
        "note, leads, key_friction [gf], wanted_capstan [mm], or a value of the case such as "
        "strike_weight [gf]",
        near.empty() ? "see models/handbook/keyboard.md" : fmt::format("did you mean \"{}\"?", near));
    return h;
  }
  const bool plain = h.dimension == Dimension::kNumber || h.dimension == Dimension::kCount;
  if (h.unit.empty() && !plain) {
    problems.add(file, line, fmt::format("column \"{}\" has no unit", name),
                 fmt::format("{} [{}]", name, case_file::trade_unit(h.dimension)),
                 "write the unit in square brackets after the name");
    h.use = Heading::Use::kBad;
  }
  return h;
}

std::optional<Quantity> read_cell(const std::string& text, Dimension dimension, const std::string& usual,
                                  const std::string& range, const std::string& name, const FileText& file,
                                  int line, ProblemList& problems) {
  const auto result = case_file::read_quantity(text, dimension, usual, range);
  if (const auto* fault = std::get_if<case_file::QuantityFault>(&result)) {
    problems.add(file, line, fmt::format("{} \"{}\": {}", name, text, fault->what), fault->expected,
                 fault->advice);
    return std::nullopt;
  }
  return std::get<Quantity>(result);
}

// "14 g at 150 mm; 12 g at 90 mm", "none".
bool read_leads(const std::string& cell, const FileText& file, int line, ProblemList& problems,
                std::vector<case_file::Lead>& out) {
  if (cell == "none" || cell == "0") return true;
  for (const std::string& one : case_file::split_fields(cell, ';')) {
    const auto at = one.find(" at ");
    if (at == std::string::npos) {
      problems.add(file, line, fmt::format("lead \"{}\" is not understood", one),
                   "14 g at 150 mm; 12 g at 90 mm", "mass, \"at\", distance from the balance hole; or none");
      return false;
    }
    const auto mass = read_cell(case_file::trimmed(one.substr(0, at)), Dimension::kMass, "0.5 g",
                                "0.5 to 60 g", "mass of a lead", file, line, problems);
    const auto place = read_cell(case_file::trimmed(one.substr(at + 4)), Dimension::kLength, "0.5 mm",
                                 "-200 to 260 mm", "place of a lead", file, line, problems);
    if (!mass || !place) return false;
    out.push_back({mass->value, place->value, mass->sigma, place->sigma, {}});
  }
  return true;
}

struct Row {
  int note = 0;
  std::map<std::string, Quantity> values;
  std::optional<std::vector<case_file::Lead>> leads;
};

SampleColumn& column_of(KeyboardCase& to, const std::string& key, Dimension dimension) {
  for (SampleColumn& c : to.columns)
    if (c.key == key) return c;
  to.columns.push_back(column_for(key, dimension));
  return to.columns.back();
}

// Leads as front weight and as mass reflected to the playing point, and the key's front weight without them.
void add_leads(const case_file::CaseDescription& d, const Row& row, KeyboardCase& to) {
  const auto own = [&](const char* key) {
    const auto at = row.values.find(key);
    return at == row.values.end() ? d.quantity(key) : at->second;
  };
  const double front = own("measured.key_front_length").value;
  double weight = 0, weight2 = 0, reflected = 0, reflected2 = 0;
  for (const case_file::Lead& lead : *row.leads) {
    const double m = lead.mass, x = lead.distance, sm = lead.sigma_mass, sx = lead.sigma_distance;
    weight += base::kGravity * m * x / front;
    weight2 += std::pow(base::kGravity / front, 2) * (std::pow(sm * x, 2) + std::pow(m * sx, 2));
    reflected += m * x * x / (front * front);
    reflected2 += (std::pow(sm * x * x, 2) + std::pow(2 * m * x * sx, 2)) / std::pow(front, 4);
  }
  column_of(to, "lead_front_weight", Dimension::kWeight)
      .samples.push_back({row.note, weight, std::sqrt(weight2)});
  column_of(to, "lead_reflected", Dimension::kMass)
      .samples.push_back({row.note, reflected, std::sqrt(reflected2)});
  const auto scale = row.values.find("measured.front_weight");
  if (scale == row.values.end()) return;
  column_of(to, "bare_front_weight", Dimension::kWeight)
      .samples.push_back(
          {row.note, scale->second.value - weight, std::sqrt(std::pow(scale->second.sigma, 2) + weight2)});
}

void read_row(const std::vector<std::string>& fields, const std::vector<Heading>& headings,
              const FileText& file, int line, ProblemList& problems, std::vector<Row>& rows) {
  Row row;
  for (std::size_t f = 0; f < fields.size(); ++f) {
    const Heading& h = headings[f];
    if (h.use == Heading::Use::kNote) {
      const auto note = read_note(fields[f]);
      if (note)
        row.note = *note;
      else
        problems.add(file, line, fmt::format("\"{}\" is no note", fields[f]),
                     "a number from 1 to 88, or a name from A0 to C8 such as C4 or F#5");
    } else if (fields[f].empty()) {
      continue;
    } else if (h.use == Heading::Use::kLeads) {
      std::vector<case_file::Lead> leads;
      if (read_leads(fields[f], file, line, problems, leads)) row.leads = leads;
    } else if (h.use == Heading::Use::kValue) {
      const std::string text = h.unit.empty() ? fields[f] : fields[f] + " " + h.unit;
      if (const auto q = read_cell(text, h.dimension, h.usual, h.range, column_for(h.key, h.dimension).name,
                                   file, line, problems))
        row.values[h.key] = *q;
    }
  }
  if (row.note > 0 && std::any_of(rows.begin(), rows.end(), [&](const Row& r) { return r.note == row.note; }))
    problems.add(file, line, fmt::format("note {} stands here twice", note_name(row.note)),
                 "one line for each note", "put repeated readings together: the mean, and its +-");
  rows.push_back(std::move(row));
}

}  // namespace

SampleColumn column_for(const std::string& key, Dimension dimension) {
  SampleColumn c;
  c.key = key;
  c.name = case_file::trade_name(key);
  if (key == "key_friction") c.name = "friction of the key alone";
  if (key == "bare_front_weight") c.name = "front weight without leads";
  if (key == "lead_front_weight") c.name = "leads as front weight";
  if (key == "lead_reflected") c.name = "leads, reflected mass";
  if (key == "wanted_capstan") c.name = "wanted capstan place";
  c.unit = c.display_unit = "1";
  for (const Shown& s : kShown)
    if (s.dimension == dimension) {
      c.unit = s.unit;
      c.display_unit = s.display_unit;
      c.decimals = s.decimals;
    }
  const auto known =
      case_file::read_quantity("1 " + (c.display_unit == "1" ? "" : c.display_unit), dimension);
  if (c.display_unit == "gf mm") {
    c.display_factor = 1 / (base::kGramForce * 23e-3);
    c.display_unit = "gf at 23 mm";
    c.decimals = 1;
  } else if (const auto* q = std::get_if<Quantity>(&known)) {
    c.display_factor = 1 / q->value;
  }
  for (const LawRow& row : kLaws)
    if (key.rfind(row.head, 0) == 0) {
      c.law = {row.degree, row.apart, false, key.rfind("lead_", 0) == 0};
      c.logarithmic = row.logarithmic;
      break;
    }
  return c;
}

void read_samples(const case_file::CaseDescription& d, const std::string& path, KeyboardCase& to,
                  ProblemList& problems) {
  FileText file;
  to.samples_path = path;
  if (!case_file::read_sheet_lines(path, "the sheet of sample notes",
                                   "look at cases/samples_to_88/sample_notes.csv for an example", file,
                                   problems))
    return;
  to.samples_text = file.text;
  const std::size_t before = problems.size();
  std::vector<Heading> headings;
  std::vector<Row> rows;
  for (std::size_t k = 0; k < file.lines.size(); ++k) {
    const int line = static_cast<int>(k) + 1;
    const auto fields = case_file::split_fields(case_file::without_remark(file.lines[k]), ',');
    if (fields.size() == 1 && fields[0].empty()) continue;
    if (headings.empty()) {
      for (const auto& f : fields) headings.push_back(read_heading(f, file, line, problems));
      if (std::count_if(headings.begin(), headings.end(),
                        [](const Heading& h) { return h.use == Heading::Use::kNote; }) != 1)
        problems.add(file, line, "the headings need one column \"note\"", "note, strike_weight [gf], ...");
      continue;
    }
    if (fields.size() != headings.size()) {
      problems.add(file, line,
                   fmt::format("{} fields where the headings name {}", fields.size(), headings.size()),
                   "one field for each heading, empty where nothing was measured",
                   "a decimal comma counts as a separator: write a point");
      continue;
    }
    read_row(fields, headings, file, line, problems, rows);
  }
  if (problems.size() == before && rows.size() < 3)
    problems.add(file, 0, fmt::format("{} sample notes are too few", rows.size()),
                 "three notes at least: bass, middle, treble", "six with two or three sharps serve well");
  if (problems.size() != before) return;
  std::sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.note < b.note; });
  for (const Heading& h : headings)
    if (h.use == Heading::Use::kValue)
      for (const Row& row : rows)
        if (const auto at = row.values.find(h.key); at != row.values.end())
          column_of(to, h.key, h.dimension).samples.push_back({row.note, at->second.value, at->second.sigma});
  for (const Row& row : rows) {
    to.sampled.push_back(row.note);
    if (row.leads) add_leads(d, row, to);
  }
  if (to.find("lead_front_weight"))
    for (SampleColumn& c : to.columns)
      if (c.key == "measured.front_weight") c.law.lumpy = true;
}

}  // namespace leverwright::keyboard

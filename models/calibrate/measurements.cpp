#include "models/calibrate/measurements.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <optional>

#include "models/case_file/document.h"
#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/case_file/sheet_text.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {

using case_file::Dimension;
using case_file::FileText;
using case_file::ProblemList;

namespace {

constexpr double kGf = 1 / base::kGramForce, kMm = 1e3, kTorque = 1 / (base::kGramForce * 0.023);
const std::array<KindInfo, static_cast<std::size_t>(Kind::kKindCount)> kInfo = {{
    {"down_weight", "down weight", Dimension::kWeight, "gf", kGf, "1.5 gf", 1, "5 to 200 gf"},
    {"up_weight", "up weight", Dimension::kWeight, "gf", kGf, "1.5 gf", 1, "-60 to 150 gf"},
    {"dip", "dip", Dimension::kLength, "mm", kMm, "0.1 mm", 2, "4 to 16 mm"},
    {"blow", "blow", Dimension::kLength, "mm", kMm, "0.5 mm", 1, "20 to 70 mm"},
    {"let_off", "let-off", Dimension::kLength, "mm", kMm, "0.2 mm", 1, "0 to 15 mm"},
    {"aftertouch", "aftertouch", Dimension::kLength, "mm", kMm, "0.1 mm", 2, "-2 to 6 mm"},
    {"key_friction", "key friction, stack off", Dimension::kWeight, "gf", kGf, "1 gf", 1, "0 to 60 gf"},
    {"hammer_centre", "hammer centre", Dimension::kTorque, "gf at 23 mm", kTorque, "0.5 gf at 23 mm", 1,
     "0 to 60 gf at 23 mm"},
    {"wippen_centre", "wippen centre", Dimension::kTorque, "gf at 23 mm", kTorque, "0.5 gf at 23 mm", 1,
     "0 to 60 gf at 23 mm"},
    {"hammer_swings", "hammer swings", Dimension::kNumber, "swings", 1, "0.5", 1, "0.5 to 60"},
    {"wippen_swings", "wippen swings", Dimension::kNumber, "swings", 1, "0.5", 1, "0.5 to 60"},
}};

struct Column {
  enum class Use { kNote, kSetUp, kState, kDate, kHumidity, kReading, kOwn, kBad } use = Use::kBad;
  std::string name, unit;
  Kind kind = Kind::kDownWeight;
  const case_file::KeySpec* spec = nullptr;
};

Column read_heading(const std::string& written, const FileText& file, int line, ProblemList& problems) {
  Column c;
  const case_file::SheetHeading heading = case_file::split_heading(written);
  c.name = heading.name;
  c.unit = heading.unit;
  if (c.name == "note" || c.name == "set_up") {
    c.use = c.name == "note" ? Column::Use::kNote : Column::Use::kSetUp;
    return c;
  }
  if (c.name == "state") {
    c.use = Column::Use::kState;
    return c;
  }
  if (c.name == "date" || (c.name == "humidity" && (c.unit == "%" || c.unit.empty()))) {
    c.use = c.name == "date" ? Column::Use::kDate : Column::Use::kHumidity;
    return c;
  }
  std::vector<std::string> known = {"note", "set_up", "state", "date", "humidity"};
  for (std::size_t k = 0; k < kInfo.size(); ++k) {
    known.emplace_back(kInfo[k].column);
    if (c.name != kInfo[k].column) continue;
    c.use = Column::Use::kReading;
    c.kind = static_cast<Kind>(k);
  }
  if (c.use == Column::Use::kBad && (c.spec = case_file::schema().find_key(c.name)) != nullptr)
    c.use = Column::Use::kOwn;
  if (c.use == Column::Use::kBad) {
    for (const auto& [path, unused] : case_file::schema().keys) known.push_back(path);
    const std::string near = case_file::nearest_word(c.name, known);
    problems.add(file, line, fmt::format("unknown column \"{}\"", c.name),
                 "note, set_up, a reading such as down_weight [gf], or a value of the case such as "
                 "measured.strike_weight [gf]",
                 near.empty() ? "leverwright calibrate --help lists the columns"
                              : fmt::format("did you mean \"{}\"?", near));
    return c;
  }
  const Dimension dimension = c.use == Column::Use::kReading ? info_of(c.kind).dimension : c.spec->dimension;
  const bool plain = dimension == Dimension::kNumber || dimension == Dimension::kCount;
  if (c.unit.empty() && !plain) {
    problems.add(file, line, fmt::format("column \"{}\" has no unit", c.name),
                 fmt::format("{} [{}]", c.name, case_file::trade_unit(dimension)),
                 "write the unit in square brackets after the name");
    c.use = Column::Use::kBad;
  }
  return c;
}

std::optional<case_file::Quantity> read_cell(const std::string& cell, const Column& c, const FileText& file,
                                             int line, ProblemList& problems) {
  const bool reading = c.use == Column::Use::kReading;
  const Dimension dimension = reading ? info_of(c.kind).dimension : c.spec->dimension;
  const auto result = case_file::read_quantity(c.unit.empty() ? cell : cell + " " + c.unit, dimension,
                                               reading ? info_of(c.kind).usual_sigma : c.spec->default_sigma,
                                               reading ? info_of(c.kind).range : c.spec->range);
  if (const auto* fault = std::get_if<case_file::QuantityFault>(&result)) {
    problems.add(file, line, fmt::format("{} \"{}\": {}", c.name, cell, fault->what), fault->expected,
                 fault->advice);
    return std::nullopt;
  }
  const auto& q = std::get<case_file::Quantity>(result);
  if (reading && !(q.sigma > 0)) {
    problems.add(file, line, fmt::format("{} \"{}\": no reading is exact", c.name, cell),
                 fmt::format("a standard deviation such as +- {}", info_of(c.kind).usual_sigma),
                 "leave the +- out to take the usual one");
    return std::nullopt;
  }
  return q;
}

bool is_date(const std::string& text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  for (const std::size_t k : {0, 1, 2, 3, 5, 6, 8, 9})
    if (std::isdigit(static_cast<unsigned char>(text[k])) == 0) return false;
  const int month = std::stoi(text.substr(5, 2)), day = std::stoi(text.substr(8, 2));
  return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}

bool is_count(Kind kind) { return kind == Kind::kHammerSwings || kind == Kind::kWippenSwings; }
}  // namespace

double to_fit(Kind kind, double value) { return is_count(kind) ? -1 / (4 * value + 1) : value; }

double from_fit(Kind kind, double fitted) { return is_count(kind) ? (-1 / fitted - 1) / 4 : fitted; }

double fitted_error(Kind kind, double value, double sigma) {
  return is_count(kind) ? 4 * sigma / std::pow(4 * value + 1, 2) : sigma;
}

const KindInfo& info_of(Kind kind) { return kInfo[static_cast<std::size_t>(kind)]; }

double usual_sigma_of(Kind kind) {
  const KindInfo& info = info_of(kind);
  return std::get<case_file::Quantity>(case_file::read_quantity(info.usual_sigma, info.dimension)).value;
}

std::vector<NoteRow> read_measurements(const std::string& path, const case_file::CaseDescription& d) {
  FileText file;
  ProblemList problems;
  std::vector<NoteRow> rows;
  std::vector<Column> columns;
  std::vector<std::string> set_ups;
  for (const auto& s : d.set_ups) set_ups.push_back(s.name);
  if (case_file::read_sheet_lines(path, "the measurements file",
                                  "look at cases/calibrate_sample_notes/measurements.csv for an example",
                                  file, problems))
    for (std::size_t k = 0; k < file.lines.size(); ++k) {
      const int line = static_cast<int>(k) + 1;
      const auto fields = case_file::split_fields(case_file::without_remark(file.lines[k]), ',');
      if (fields.size() == 1 && fields[0].empty()) continue;
      if (columns.empty()) {
        for (const auto& f : fields) columns.push_back(read_heading(f, file, line, problems));
        for (const auto use : {Column::Use::kNote, Column::Use::kSetUp})
          if (std::count_if(columns.begin(), columns.end(), [&](const Column& c) { return c.use == use; }) !=
              1)
            problems.add(file, line,
                         fmt::format("the headings need one column \"{}\"",
                                     use == Column::Use::kNote ? "note" : "set_up"),
                         "note, set_up, down_weight [gf], up_weight [gf], ...");
        continue;
      }
      if (fields.size() != columns.size()) {
        problems.add(file, line,
                     fmt::format("{} fields where the headings name {}", fields.size(), columns.size()),
                     "one field for each heading, empty where nothing was measured",
                     "a decimal comma counts as a separator: write a point");
        continue;
      }
      NoteRow row;
      row.place = {path, line, file.lines[k]};
      for (std::size_t f = 0; f < fields.size(); ++f) {
        const Column& c = columns[f];
        if (c.use == Column::Use::kNote) {
          row.note = fields[f];
          if (row.note.empty()) problems.add(file, line, "this line names no note", "a name such as C4");
        } else if (c.use == Column::Use::kSetUp) {
          const auto at = std::find(set_ups.begin(), set_ups.end(), fields[f]);
          if (at == set_ups.end()) {
            const std::string near = case_file::nearest_word(fields[f], set_ups);
            problems.add(file, line, fmt::format("the case has no set-up \"{}\"", fields[f]),
                         fmt::format("one of \"{}\"", fmt::join(set_ups, "\", \"")),
                         near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
          } else {
            row.set_up = static_cast<std::size_t>(at - set_ups.begin());
          }
        } else if (c.use == Column::Use::kState) {
          row.as_found = fields[f] == "as found";
          if (!row.as_found && !fields[f].empty() && fields[f] != "regulated")
            problems.add(file, line, fmt::format("state \"{}\" is unknown", fields[f]),
                         "\"as found\" or \"regulated\"", "leave it empty for regulated");
        } else if (c.use == Column::Use::kDate) {
          row.date = fields[f];
          if (!row.date.empty() && !is_date(row.date))
            problems.add(file, line, fmt::format("\"{}\" is no date", row.date), "2026-11-02",
                         "year-month-day");
        } else if (c.use == Column::Use::kHumidity) {
          if (fields[f].empty()) continue;
          const auto q = case_file::read_quantity(fields[f], Dimension::kNumber, "", "0 to 100");
          if (const auto* read = std::get_if<case_file::Quantity>(&q))
            row.humidity = read->value;
          else
            problems.add(file, line, fmt::format("humidity \"{}\" is none", fields[f]), "per cent, 0 to 100",
                         "");
        } else if (c.use != Column::Use::kBad && !fields[f].empty()) {
          const auto q = read_cell(fields[f], c, file, line, problems);
          if (!q) continue;
          if (c.use == Column::Use::kReading)
            row.readings.push_back({c.kind, q->value, q->sigma});
          else
            row.own[c.name] = *q;
        }
      }
      rows.push_back(std::move(row));
    }
  if (problems.empty() && rows.empty())
    problems.add(file, 0, "the file holds no note", "a line of headings and one line for each note");
  if (!problems.empty()) throw base::UserError(problems.sorted());
  return rows;
}

}  // namespace leverwright::calibrate

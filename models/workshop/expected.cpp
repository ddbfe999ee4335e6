// Readings to be found after the work, and the file they go into. The predictions are those of
// calibrate::check_afterwards, so that what the order promises is what the check afterwards compares with.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/workshop/order.h"
#include "sim/base/units.h"

namespace leverwright::workshop {

using calibrate::Kind;
using calibrate::NoteRow;
using case_file::CaseDescription;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr Kind kAfter[] = {Kind::kDownWeight, Kind::kUpWeight, Kind::kDip,
                           Kind::kBlow,       Kind::kLetOff,   Kind::kAftertouch};

// Every note once, in the order of the rows, with what it has of its own.
std::vector<NoteRow> notes_of(const std::vector<NoteRow>& before) {
  std::vector<NoteRow> out;
  for (const NoteRow& row : before)
    if (std::none_of(out.begin(), out.end(), [&](const NoteRow& o) { return o.note == row.note; }))
      out.push_back(row);
  return out;
}

struct Before {
  double value = kNone;
  bool as_found = false;
};

// Read with the action regulated before the work where there is such a line, else as found.
Before reading_of_note(const std::vector<NoteRow>& before, const std::string& note, Kind kind) {
  for (const bool as_found : {false, true})
    for (const NoteRow& row : before)
      for (const auto& r : row.readings)
        if (row.note == note && row.as_found == as_found && r.kind == kind) return {r.value, as_found};
  return {};
}

struct Own {  // a column of a note's own value
  std::string key, unit;
  double si = 1;
};

Own own_column(const std::string& key) {
  const auto dimension = case_file::schema().find_key(key)->dimension;
  if (dimension == case_file::Dimension::kTorque) return {key, "gf at 23 mm", base::kGramForce * 0.023};
  if (dimension == case_file::Dimension::kNumber || dimension == case_file::Dimension::kCount)
    return {key, "", 1};
  return {key, case_file::trade_unit(dimension), case_file::trade_unit_in_si(dimension)};
}

std::string with_sigma(double value, double sigma) {
  return sigma > 0 ? fmt::format("{:.12g} +- {:.12g}", value, sigma) : fmt::format("{:.12g}", value);
}

// A field with a comma goes into quotes.
std::string field(const std::string& text) {
  return text.find(',') == std::string::npos ? text : "\"" + text + "\"";
}

}  // namespace

std::vector<NoteRow> note_as_found(const CaseDescription& d) {
  NoteRow row;
  row.note = d.choice("note.name");
  row.set_up = 0;
  row.as_found = true;
  row.place = d.set_ups.front().place;
  static const std::pair<const char*, Kind> kFound[] = {{"measured.down_weight", Kind::kDownWeight},
                                                        {"measured.up_weight", Kind::kUpWeight},
                                                        {"measured.dip", Kind::kDip},
                                                        {"measured.blow", Kind::kBlow},
                                                        {"measured.let_off", Kind::kLetOff},
                                                        {"measured.aftertouch", Kind::kAftertouch}};
  for (const auto& [key, kind] : kFound)
    if (d.has(key) && d.quantity(key).sigma > 0)
      row.readings.push_back({kind, d.value(key), d.quantity(key).sigma});
  return {row};
}

std::vector<ExpectedReading> expect_readings(const CaseDescription& d, const std::vector<NoteRow>& before,
                                             const std::function<bool(double)>& progress) {
  std::vector<NoteRow> rows = before;
  for (NoteRow after : notes_of(before)) {
    after.set_up = 1;
    after.as_found = false;
    after.readings.clear();
    // Only what is predicted is asked for: the value of a reading not yet taken plays no part in it.
    for (const Kind kind : kAfter) after.readings.push_back({kind, 0, calibrate::usual_sigma_of(kind)});
    rows.push_back(after);
  }
  const auto found = calibrate::check_afterwards(
      d, rows, [&](const calibrate::Doing& doing) { return !progress || progress(doing.share); });
  std::vector<ExpectedReading> out;
  for (std::size_t k = 0; k < found.checked.size(); ++k) {
    const auto& c = found.checked[k];
    const auto& info = calibrate::info_of(c.reading.kind);
    const std::string& note = found.rows[c.row].note;
    const Before was = reading_of_note(before, note, c.reading.kind);
    const auto add = [&](const std::string& key, const std::string& name, double before_value,
                         double predicted, double sigma, double reading) {
      const double f = info.display_factor, reach = 1.96 * std::hypot(sigma, reading) * f;
      out.push_back({note, key, name, info.display_unit, info.decimals, before_value * f, predicted * f,
                     1.96 * sigma * f, predicted * f - reach, predicted * f + reach, was.as_found});
    };
    add(info.column, info.name, was.value, c.predicted, c.sigma, c.reading.sigma);
    if (c.reading.kind != Kind::kUpWeight || k == 0) continue;
    // Friction (D - U)/2 of the pair: its variance from theirs and what they share.
    const auto& down = found.checked[k - 1];
    const auto i = static_cast<Eigen::Index>(k);
    const auto& v = found.covariance;
    const double sigma = 0.5 * std::sqrt(std::max(0.0, v(i - 1, i - 1) + v(i, i) - 2 * v(i - 1, i)));
    add("friction", "friction, (down - up) / 2",
        0.5 * (reading_of_note(before, note, Kind::kDownWeight).value - was.value),
        0.5 * (down.predicted - c.predicted), sigma, 0.5 * std::hypot(down.reading.sigma, c.reading.sigma));
  }
  return out;
}

void adopt_prediction(const std::vector<ExpectedReading>& expected, const std::string& note,
                      study::SetUpResult& result) {
  if (expected.empty()) return;
  const bool own =
      std::any_of(expected.begin(), expected.end(), [&](const auto& e) { return e.note == note; });
  const std::string& from = own ? note : expected.front().note;
  for (const ExpectedReading& e : expected) {
    if (e.note != from) continue;
    const double si = e.unit == "mm" ? 1e-3 : base::kGramForce;
    for (std::size_t k = 0; k < study::kMeasureCount; ++k)
      if (e.key == study::kMeasures[k].key) result.measures[k] = e.predicted * si;
    action::Regulated& r = result.regulated;
    if (e.key == "dip") r.dip = e.predicted * si;
    if (e.key == "blow") r.blow = e.predicted * si;
    if (e.key == "let_off") r.let_off = e.predicted * si;
    if (e.key == "aftertouch") r.aftertouch = e.predicted * si;
  }
  auto& m = result.measures;
  m[study::kBalanceWeight] = 0.5 * (m[study::kDownWeight] + m[study::kUpWeight]);
}

std::string write_after_file(const CaseDescription& d, const std::vector<NoteRow>& before) {
  std::vector<Kind> kinds(std::begin(kAfter), std::end(kAfter));
  std::vector<std::string> own;
  for (const NoteRow& row : before) {
    for (const auto& r : row.readings)
      if (std::find(kinds.begin(), kinds.end(), r.kind) == kinds.end()) kinds.push_back(r.kind);
    for (const auto& [key, unused] : row.own)
      if (std::find(own.begin(), own.end(), key) == own.end()) own.push_back(key);
  }
  std::string out =
      "# Readings before the work are filled in as far as they were taken. Type those after it into the "
      "empty cells, regulated to the same specification; then: leverwright afterwards CASE "
      "THIS_FILE\nnote, set_up";
  const bool states = std::any_of(before.begin(), before.end(), [](const NoteRow& r) { return r.as_found; });
  if (states) out += ", state";
  for (const Kind kind : kinds) {
    const auto& info = calibrate::info_of(kind);
    const bool plain = info.dimension == case_file::Dimension::kNumber;
    out +=
        plain ? fmt::format(", {}", info.column) : fmt::format(", {} [{}]", info.column, info.display_unit);
  }
  for (const auto& key : own) {
    const Own column = own_column(key);
    out += column.unit.empty() ? ", " + key : fmt::format(", {} [{}]", key, column.unit);
  }
  out += "\n";
  const auto write_row = [&](const NoteRow& row, bool after) {
    std::string line = row.note + ", " + field(d.set_ups[after ? 1 : 0].name);
    if (states) line += !after && row.as_found ? ", as found" : ", regulated";
    for (const Kind kind : kinds) {
      line += ",";
      for (const auto& r : row.readings)
        if (!after && r.kind == kind)
          line += " " + with_sigma(r.value * calibrate::info_of(kind).display_factor,
                                   r.sigma * calibrate::info_of(kind).display_factor);
    }
    for (const auto& key : own) {
      line += ",";
      const auto q = row.own.find(key);
      if (q == row.own.end()) continue;
      const double si = own_column(key).si;
      line += " " + with_sigma(q->second.value / si, q->second.sigma / si);
    }
    return line + "\n";
  };
  for (const NoteRow& note : notes_of(before)) {
    for (const NoteRow& row : before)
      if (row.note == note.note && !row.readings.empty()) out += write_row(row, false);
    out += write_row(note, true);
  }
  return out;
}

}  // namespace leverwright::workshop

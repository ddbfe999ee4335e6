#include "viz/table/misadjust_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "viz/table/cautions.h"

namespace leverwright::table {

using playing::kMisadjustMeasures;
using playing::kMisCount;
using playing::Misadjustment;
using playing::MisadjustRow;

namespace {

const char* setting_of(const MisadjustRow& r) {
  return r.screw < 0 ? "as regulated" : action::kScrewNames[static_cast<std::size_t>(r.screw)];
}

// Short heads of the columns, in the order of the measures.
constexpr std::array<const char*, kMisCount> kHeads = {"blow", "let-off", "drop", "dip", "after-", "down",
                                                       "up",   "bump",    "p",    "mf",  "check",  "repeat"};
constexpr std::array<const char*, kMisCount> kSecond = {"mm", "mm", "mm",  "mm",  "touch mm", "gf",
                                                        "gf", "gf", "m/s", "m/s", "mm",       "1/s"};

std::string faults_of(const MisadjustRow& r) {
  std::string all;
  for (const auto& f : r.faults) all += (all.empty() ? "" : "; ") + f;
  return all;
}

// Changes against the first line, one setting after the other.
void add_changes(const Misadjustment& m, bool all, Document& d) {
  double most = 0, least = 1;
  for (const auto& r : m.rows)
    if (r.screw >= 0) {
      most = std::max(most, std::abs(r.moved));
      least = std::min(least, std::abs(r.moved));
    }
  const MisadjustRow& base = m.rows.front();
  Table& t = d.table();
  t.gap = 1;
  t.columns = {{"", "", "\"" + m.set_up + "\"", "", 28}};
  for (std::size_t k = 0; k < kMisCount; ++k)
    t.columns.push_back({"", "", kHeads[k], kSecond[k], k == playing::kMisAftertouch ? 8 : 7,
                         kMisadjustMeasures[k].decimals, true});
  std::vector<Entry> values{"as regulated"};
  for (std::size_t k = 0; k < kMisCount; ++k) {
    const double shown = base.values[k] * kMisadjustMeasures[k].display_factor;
    values.push_back(Entry(shown).as(fixed(shown, kMisadjustMeasures[k].decimals)));
  }
  t.add(values);
  int before = -1;
  for (const auto& r : m.rows) {
    if (r.screw < 0) continue;
    const double size = std::abs(r.moved);
    if (!all && std::abs(size - most) > 1e-9 && std::abs(size - least) > 1e-9) continue;
    if (r.screw != before) t.add({Entry(setting_of(r)).in(Colour::kHeading)});
    before = r.screw;
    std::vector<Entry> row{"  " + r.words};
    for (std::size_t k = 0; k < kMisCount; ++k) {
      const auto& info = kMisadjustMeasures[k];
      const double change = r.values[k] - base.values[k];
      const bool much = std::abs(change) >= info.noticeable;
      const bool none = std::abs(change * info.display_factor) < 0.5 * std::pow(10.0, -info.decimals);
      row.push_back(Entry(change * info.display_factor)
                        .as(none ? "." : "")
                        .in(!std::isfinite(change) || much ? Colour::kBad : Colour::kPlain));
    }
    t.add(row);
  }
}

// The values themselves, for other programs.
void add_values(const Misadjustment& m, Document& d) {
  Table& measures = d.table("measures");
  measures.columns = {{"key"}, {"name"}, {"unit"}, {"noticeable"}};
  for (const auto& info : kMisadjustMeasures)
    measures.add({info.key, info.name, info.display_unit, info.noticeable * info.display_factor});
  Table& rows = d.table("rows");
  rows.columns = {{"", "set_up"}, {"setting", "setting"}, {"moved_mm", "moved_mm"}, {"words", "words"}};
  for (const auto& info : kMisadjustMeasures) {
    std::string unit = info.display_unit;
    std::replace(unit.begin(), unit.end(), '/', '_');
    rows.columns.push_back({info.key, std::string(info.key) + "_" + unit});
  }
  rows.columns.push_back({"faults", "faults"});
  for (const auto& r : m.rows) {
    std::vector<Entry> row{m.set_up, setting_of(r), r.moved * 1e3, r.words};
    for (std::size_t k = 0; k < kMisCount; ++k)
      row.push_back(r.values[k] * kMisadjustMeasures[k].display_factor);
    row.push_back(r.faults);
    rows.add(row);
  }
  Table& missing = d.table("missing");
  missing.columns = {{"setting"}, {"moved_mm"}, {"words"}};
  for (const auto& r : m.missing) missing.add({setting_of(r), r.moved * 1e3, r.words});
}

}  // namespace

Document misadjustment_document(const std::string& case_path, const Misadjustment& m, bool all) {
  Document d("misadjustment");
  d.set("case", case_path);
  d.set("status", m.complete ? "complete" : "stopped");
  d.set("set_up", m.set_up);
  d.note(
      "One setting moved at a time from where regulation put it, all others and the finger's force left as "
      "they were; changes against the first line (a point: none that shows; -: does not exist there). bump: "
      "let-off resistance; p, mf: hammer speed of the finger that gave p and mf; check: hammer below the "
      "string when caught at mf; repeat: full return, coarsely.");
  d.space();
  if (!m.rows.empty()) add_changes(m, all, d);
  bool told = false;
  for (const auto& r : m.rows) {
    if (r.faults.empty()) continue;
    if (!std::exchange(told, true)) d.heading("What goes wrong");
    d.bullet(std::string(setting_of(r)) + (r.screw < 0 ? "" : ", " + r.words) + ": " + faults_of(r));
  }
  told = false;
  for (const auto& r : m.rows) {
    if (r.reason.empty()) continue;
    if (!std::exchange(told, true)) d.heading("Why so much");
    d.bullet(std::string(setting_of(r)) + ", " + r.words + ": " + r.reason);
  }
  d.text([](const Look& look) { return write_short_cautions({}, look); });
  if (!m.complete) {
    d.space();
    d.note("Stopped before all was tried. Not tried: " + playing::missing_words(m) + ".");
  }
  add_values(m, d);
  return d;
}

}  // namespace leverwright::table

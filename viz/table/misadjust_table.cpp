#include "viz/table/misadjust_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/version.h"
#include "viz/table/cautions.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"

namespace leverwright::table {

using study::kMisadjustMeasures;
using study::kMisCount;
using study::Misadjustment;
using study::MisadjustRow;

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

}  // namespace

std::string write_misadjustment(const Misadjustment& m, bool all, const Look& look) {
  if (m.rows.empty()) return "";
  double most = 0, least = 1;
  for (const auto& r : m.rows)
    if (r.screw >= 0) {
      most = std::max(most, std::abs(r.moved));
      least = std::min(least, std::abs(r.moved));
    }
  const MisadjustRow& base = m.rows.front();
  std::vector<int> widths{28};
  for (std::size_t k = 0; k < kMisCount; ++k) widths.push_back(k == study::kMisAftertouch ? 8 : 7);
  Grid grid(widths, 1);
  std::vector<Cell> first{{"\"" + m.set_up + "\"", Colour::kHeading}}, second{{""}}, values{{"as regulated"}};
  for (std::size_t k = 0; k < kMisCount; ++k) {
    first.push_back({kHeads[k], Colour::kQuiet, true});
    second.push_back({kSecond[k], Colour::kQuiet, true});
    values.push_back(
        {fixed(base.values[k] * kMisadjustMeasures[k].display_factor, kMisadjustMeasures[k].decimals),
         Colour::kPlain, true});
  }
  grid.add(first);
  grid.add(second);
  grid.add_rule();
  grid.add(values);
  std::vector<std::string> faults;
  int before = -1;
  for (const auto& r : m.rows) {
    if (r.screw < 0) continue;
    const double size = std::abs(r.moved);
    if (!all && std::abs(size - most) > 1e-9 && std::abs(size - least) > 1e-9) continue;
    if (r.screw != before) grid.add({{setting_of(r), Colour::kHeading}});
    before = r.screw;
    std::vector<Cell> cells{{"  " + r.words}};
    for (std::size_t k = 0; k < kMisCount; ++k) {
      const auto& info = kMisadjustMeasures[k];
      const double change = r.values[k] - base.values[k];
      const bool much = std::abs(change) >= info.noticeable;
      const bool none = std::abs(change * info.display_factor) < 0.5 * std::pow(10.0, -info.decimals);
      cells.push_back({none ? "." : fixed_signed(change * info.display_factor, info.decimals),
                       !std::isfinite(change) || much ? Colour::kBad : Colour::kPlain, true});
    }
    grid.add(cells);
  }
  for (const auto& r : m.rows)
    if (!r.faults.empty())
      faults.push_back(std::string(setting_of(r)) + (r.screw < 0 ? "" : ", " + r.words) + ": " +
                       faults_of(r));
  std::string out = wrap(
      "One setting moved at a time from where regulation put it, all others and the finger's force left as "
      "they were; "
      "changes against the first line (a point: none that shows; -: does not exist there). bump: let-off "
      "resistance; "
      "p, mf: hammer speed of the finger that gave p and mf; check: hammer below the string when caught at "
      "mf; "
      "repeat: full return, coarsely.",
      look.width);
  out += "\n" + grid.write(look);
  if (!faults.empty()) out += "\nWhat goes wrong\n";
  for (const auto& f : faults) out += wrap(f, look.width, "- ", "  ");
  bool told = false;
  for (const auto& r : m.rows) {
    if (r.reason.empty()) continue;
    if (!told) out += "\nWhy so much\n";
    told = true;
    out += wrap(std::string(setting_of(r)) + ", " + r.words + ": " + r.reason, look.width, "- ", "  ");
  }
  out += write_short_cautions({}, look);
  if (!m.complete)
    out +=
        "\n" + wrap("Stopped before all was tried. Not tried: " + study::missing_words(m) + ".", look.width);
  return out;
}

std::string write_misadjustment_json(const std::string& case_path, const Misadjustment& m) {
  Json out{{"format", "leverwright misadjustment"},
           {"format_version", 1},
           {"software_version", base::kVersion},
           {"case", case_path},
           {"status", m.complete ? "complete" : "stopped"},
           {"set_up", m.set_up}};
  Json measures = Json::array(), rows = Json::array(), missing = Json::array();
  for (const auto& info : kMisadjustMeasures)
    measures.push_back(Json{{"key", info.key},
                            {"name", info.name},
                            {"unit", info.display_unit},
                            {"noticeable", info.noticeable * info.display_factor}});
  for (const auto& r : m.rows) {
    Json row{{"setting", setting_of(r)}, {"moved_mm", r.moved * 1e3}, {"words", r.words}};
    for (std::size_t k = 0; k < kMisCount; ++k)
      row[kMisadjustMeasures[k].key] = r.values[k] * kMisadjustMeasures[k].display_factor;
    row["faults"] = r.faults;
    rows.push_back(row);
  }
  for (const auto& r : m.missing)
    missing.push_back(Json{{"setting", setting_of(r)}, {"moved_mm", r.moved * 1e3}, {"words", r.words}});
  out["measures"] = measures;
  out["rows"] = rows;
  out["missing"] = missing;
  return out.dump(1) + "\n";
}

std::string write_misadjustment_csv(const Misadjustment& m) {
  std::vector<std::string> head{"set_up", "setting", "moved_mm", "words"};
  for (const auto& info : kMisadjustMeasures) {
    std::string unit = info.display_unit;
    std::replace(unit.begin(), unit.end(), '/', '_');
    head.push_back(std::string(info.key) + "_" + unit);
  }
  head.push_back("faults");
  std::string out = join_csv(head);
  for (const auto& r : m.rows) {
    std::vector<std::string> line{m.set_up, setting_of(r), csv_number(r.moved * 1e3), r.words};
    for (std::size_t k = 0; k < kMisCount; ++k)
      line.push_back(csv_number(r.values[k] * kMisadjustMeasures[k].display_factor));
    line.push_back(faults_of(r));
    out += join_csv(line);
  }
  return out;
}

}  // namespace leverwright::table

#include "models/playing/recorded_history.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <optional>

#include "models/case_file/quantity.h"
#include "models/case_file/sheet_text.h"
#include "models/case_file/units.h"
#include "models/playing/record_plausibility.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "sim/base/words.h"
#include "sim/run/smoothed_history.h"
#include "sim/store/read_columns.h"

namespace leverwright::playing {

namespace {

using base::Problem;
constexpr std::size_t kLargestRecord = 100u << 20;  // bytes
using case_file::Dimension;

enum Role { kTime, kForce, kDip, kRoleCount };
struct RoleInfo {
  const char* name;
  Dimension dimension;
  const char* units;
  std::vector<std::string> names;
};
const RoleInfo& info(int role) {
  static const RoleInfo list[kRoleCount] = {
      {"time", Dimension::kTime, "s or ms", {"time", "t"}},
      {"force", Dimension::kWeight, "N, mN or gf", {"force", "finger_force", "finger force"}},
      {"dip", Dimension::kLength, "mm, cm or m", {"dip", "key_dip", "key dip", "position", "key_position"}}};
  return list[role];
}

std::string trimmed(const std::string& text) {
  const auto blank = [](unsigned char c) { return std::isspace(c) != 0 || c == '"'; };
  auto from = text.begin();
  auto to = text.end();
  while (from != to && blank(static_cast<unsigned char>(*from))) ++from;
  while (to != from && blank(static_cast<unsigned char>(*(to - 1)))) --to;
  return std::string(from, to);
}

std::vector<std::string> split(const std::string& line, char separator) {
  std::vector<std::string> out(1);
  for (const char c : line) {
    if (c == separator)
      out.emplace_back();
    else if (c != '\r')
      out.back() += c;
  }
  for (auto& cell : out) cell = trimmed(cell);
  return out;
}

// "time (ms)", "time [ms]", "time ms" -> "time", "ms".
std::pair<std::string, std::string> split_unit(const std::string& cell) {
  const auto open = cell.find_first_of("([");
  std::string name = trimmed(cell.substr(0, open)), unit;
  if (open != std::string::npos) {
    const auto close = cell.find_first_of(")]", open);
    unit = cell.substr(open + 1, close == std::string::npos ? std::string::npos : close - open - 1);
  } else if (const auto gap = cell.find_last_of(" \t"); gap != std::string::npos) {
    if (case_file::find_unit(case_file::normalise_unit(cell.substr(gap + 1)))) {
      name = trimmed(cell.substr(0, gap));
      unit = cell.substr(gap + 1);
    }
  }
  return {base::lower(name), trimmed(unit)};
}

int role_of(const std::string& name) {
  for (int r = 0; r < kRoleCount; ++r) {
    const auto& names = info(r).names;
    if (std::find(names.begin(), names.end(), name) != names.end()) return r;
  }
  return -1;
}

struct Reader {
  std::string path;
  std::vector<Problem> problems;
  std::size_t left_out = 0;
  int column[kRoleCount] = {-1, -1, -1};
  double factor[kRoleCount] = {1, 1, 1};
  std::string other;  // columns left alone

  void add(int line, const std::string& text, const std::string& what, const std::string& expected,
           const std::string& advice = "") {
    constexpr std::size_t kMostKept = 1000;
    if (problems.size() < kMostKept)
      problems.push_back({path, line, text, what, expected, advice});
    else
      ++left_out;
  }
  [[noreturn]] void give_up() const {
    constexpr std::size_t kMost = 19;  // and the count: as many as an error shows
    std::vector<Problem> shown = problems;
    if (shown.size() > kMost + 1) {
      const std::size_t more = shown.size() - kMost + left_out;
      shown.resize(kMost);
      shown.push_back({path, 0, "", fmt::format("and {} more problems of this kind", more), "", ""});
    }
    throw base::UserError(shown);
  }

  // A named column and its unit, from a header or a dataset.
  void take(int at, const std::string& name, const std::string& unit, int line, const std::string& text) {
    const int role = role_of(name);
    if (role < 0) {
      other += (other.empty() ? "" : ", ") + name;
      return;
    }
    const RoleInfo& r = info(role);
    if (column[role] >= 0) {
      add(line, text, fmt::format("there are two columns of {}", r.name), "one");
      return;
    }
    column[role] = at;
    const std::string normal = case_file::normalise_unit(unit);
    const case_file::Unit* known = case_file::find_unit(normal);
    if (known && known->dimension == r.dimension) {
      factor[role] = known->si;
      return;
    }
    const bool gram = role == kForce && normal == "g";
    add(line, text,
        unit.empty() ? fmt::format("column {} (\"{}\") has no unit", at + 1, name)
                     : fmt::format("column {} (\"{}\"): \"{}\" is no unit of {}", at + 1, name, unit, r.name),
        fmt::format("\"{} ({})\": {}", name, case_file::units_of(r.dimension).front(), r.units),
        gram ? "g is a mass; a force is in gf or N" : case_file::hint_for_unit(normal));
  }

  // Which of force and dip it is about.
  int choose(const std::string& use, int line, const std::string& text) {
    if (column[kTime] < 0) add(line, text, "there is no column of time", "a column such as \"time (ms)\"");
    const bool force = column[kForce] >= 0, dip = column[kDip] >= 0;
    if (!force && !dip)
      add(line, text, "there is neither force nor dip", "a column such as \"force (N)\" or \"dip (mm)\"");
    else if (force && dip && use.empty())
      add(line, text, "there are both force and dip", "one of them", "choose: --use force or --use dip");
    else if ((use == "force" && !force) || (use == "dip" && !dip))
      add(line, text, fmt::format("there is no column of {}", use), "");
    if (!problems.empty()) give_up();
    return use == "dip" || !force ? kDip : kForce;
  }
};

std::optional<double> number_in(std::string cell, bool decimal_comma) {
  if (decimal_comma) std::replace(cell.begin(), cell.end(), ',', '.');
  char* end = nullptr;
  const double x = std::strtod(cell.c_str(), &end);
  if (cell.empty() || *end != '\0' || !std::isfinite(x)) return std::nullopt;
  return x;
}

// Time and value stand; checks what only shows over all of them.
void finish(Reader& reader, RecordedHistory& out, const std::vector<std::string>& lines) {
  const auto text = [&](std::size_t k) {
    return out.line[k] > 0 ? lines[static_cast<std::size_t>(out.line[k]) - 1] : std::string();
  };
  for (std::size_t k = 1; k < out.time.size(); ++k)
    if (out.time[k] < out.time[k - 1])
      reader.add(
          out.line[k], text(k),
          fmt::format("{}time runs back, from {:g} to {:g} s",
                      out.line[k] > 0 ? "" : fmt::format("sample {}: ", k), out.time[k - 1], out.time[k]),
          "samples in the order they were taken");
  constexpr std::size_t kLeast = 8;
  if (reader.problems.empty() && (out.time.size() < kLeast || !(out.time.back() > out.time.front())))
    reader.add(0, "", fmt::format("{} samples are too few to play from", out.time.size()),
               fmt::format("{} or more, at different times", kLeast));
  if (reader.problems.empty() && !out.is_force && std::abs(out.value.front()) > kRestMiss)
    reader.add(
        out.line.front(), text(0),
        fmt::format("the record begins with the key {:.2f} mm from its rest", 1e3 * out.value.front()),
        fmt::format("dip counted downwards from rest, beginning within {:.1f} mm of it", 1e3 * kRestMiss),
        "take the key's height at rest off every sample, or let the record begin earlier");
  if (reader.problems.empty())
    for (const RecordFault& fault : find_record_faults(out))
      reader.add(
          out.line[fault.sample], text(fault.sample),
          out.line[fault.sample] > 0 ? fault.what : fmt::format("sample {}: {}", fault.sample, fault.what),
          fault.expected, fault.advice);
  if (!reader.problems.empty()) reader.give_up();
  if (!reader.other.empty()) out.notes.push_back("columns left alone: " + reader.other);
}

RecordedHistory read_csv(const std::string& path, const std::string& use) {
  Reader reader;
  reader.path = path;
  case_file::FileText file;
  case_file::ProblemList unreadable;
  if (!case_file::read_sheet_lines(path, "the record", "models/playing/recorded_history.h describes the form",
                                   file, unreadable, kLargestRecord))
    throw base::UserError(unreadable.sorted());
  const std::vector<std::string>& lines = file.lines;
  RecordedHistory out;
  out.source = path;
  char separator = ',';
  int role = -1;
  std::size_t cells_wanted = 0;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const std::string line = trimmed(lines[k]);
    const int number = static_cast<int>(k) + 1;
    if (line.empty() || line[0] == '#') continue;
    if (role < 0) {  // the header
      std::string head = line;
      if (head.rfind("\xEF\xBB\xBF", 0) == 0) head = head.substr(3);
      separator = head.find('\t') != std::string::npos  ? '\t'
                  : head.find(';') != std::string::npos ? ';'
                                                        : ',';
      const auto cells = split(head, separator);
      for (std::size_t c = 0; c < cells.size(); ++c) {
        const auto [name, unit] = split_unit(cells[c]);
        reader.take(static_cast<int>(c), name, unit, number, lines[k]);
      }
      role = reader.choose(use, number, lines[k]);
      out.is_force = role == kForce;
      cells_wanted = cells.size();
      continue;
    }
    const auto cells = split(line, separator);
    if (cells.size() != cells_wanted) {
      reader.add(number, lines[k],
                 fmt::format("{} cells where there are {} columns", cells.size(), cells_wanted),
                 "one cell for each column",
                 separator == ',' && cells.size() > cells_wanted
                     ? "with decimal commas separate the columns by semicolons"
                     : "");
      continue;
    }
    double values[2] = {0, 0};
    bool good = true;
    for (const int r : {static_cast<int>(kTime), role}) {
      const auto& cell = cells[static_cast<std::size_t>(reader.column[r])];
      const auto x = number_in(cell, separator != ',');
      if (!x)
        reader.add(
            number, lines[k],
            fmt::format("column {} ({}): \"{}\" is no number", reader.column[r] + 1, info(r).name, cell),
            "a finite number");
      good = good && x;
      values[r == kTime ? 0 : 1] = x.value_or(0) * reader.factor[r];
    }
    if (!good) continue;
    out.time.push_back(values[0]);
    out.value.push_back(values[1]);
    out.line.push_back(number);
  }
  if (role < 0) {
    reader.add(0, "", "the file is empty", "a line that names the columns, then one line for each sample");
    reader.give_up();
  }
  finish(reader, out, lines);
  return out;
}

RecordedHistory read_hdf5(const std::string& file, const std::string& group, const std::string& use) {
  Reader reader;
  reader.path = file;
  const auto columns = store::read_columns(file, group);
  for (std::size_t k = 0; k < columns.size(); ++k)
    reader.take(static_cast<int>(k), columns[k].name, columns[k].unit, 0, "");
  const int role = reader.choose(use, 0, "");
  RecordedHistory out;
  out.source = file + ":" + group;
  out.is_force = role == kForce;
  const auto& t = columns[static_cast<std::size_t>(reader.column[kTime])];
  const auto& y = columns[static_cast<std::size_t>(reader.column[role])];
  if (t.values.size() != y.values.size())
    reader.add(
        0, "",
        fmt::format("{} has {} values and {} has {}", t.name, t.values.size(), y.name, y.values.size()),
        "as many of each");
  for (std::size_t k = 0; reader.problems.empty() && k < t.values.size(); ++k) {
    if (!std::isfinite(t.values[k]) || !std::isfinite(y.values[k]))
      reader.add(0, "", fmt::format("sample {} is not a number", k), "finite numbers");
    out.time.push_back(t.values[k] * reader.factor[kTime]);
    out.value.push_back(y.values[k] * reader.factor[role]);
    out.line.push_back(0);
  }
  if (!reader.problems.empty()) reader.give_up();
  finish(reader, out, {});
  return out;
}

}  // namespace

RecordedHistory read_history(const std::string& path, const std::string& use) {
  for (const char* end : {".h5", ".hdf5"}) {
    const auto at = path.find(end);
    if (at == std::string::npos) continue;
    const std::string file = path.substr(0, at + std::string(end).size()), rest = path.substr(file.size());
    if (!rest.empty() && rest[0] != ':') continue;
    return read_hdf5(file, rest.size() > 1 ? rest.substr(1) : "/", use);
  }
  return read_csv(path, use);
}

SmoothRecord smooth(const RecordedHistory& r, double cut_off) {
  constexpr double kLetUp = 60e-3, kAfter = 0.35, kStillDown = 0.25;  // [s], [s], share of the largest
  SmoothRecord out;
  out.cut_off = cut_off > 0 ? cut_off : r.is_force ? kForceCutOff : kDipCutOff;
  const double offset = r.is_force ? 0 : r.value.front();
  std::vector<double> t = r.time, y = r.value;
  for (double& x : t) x += kRecordStart - r.time.front();
  for (double& x : y) x -= offset;
  const double most = *std::max_element(y.begin(), y.end());
  const double mean_step = (t.back() - t.front()) / static_cast<double>(t.size() - 1);
  if (y.back() > kStillDown * most) {
    out.let_up = true;
    out.release_at = t.back();
    const double step = std::min(mean_step, kLetUp / 50), from = y.back();
    const int count = static_cast<int>(kLetUp / step);
    for (int k = 1; k <= count; ++k) {
      const double x = static_cast<double>(k) / count;
      t.push_back(out.release_at + kLetUp * x);
      y.push_back(from * 0.5 * (1 + std::cos(base::kPi * x)));
    }
  } else {
    // Let go when it last falls below three quarters of where it was held.
    constexpr double kHeld = 0.75;
    std::size_t k = y.size();
    while (k > 1 && y[k - 1] < kHeld * most) --k;
    out.release_at = t[k - 1];
  }
  const auto curve = std::make_shared<run::SmoothedHistory>(t, y, out.cut_off);
  double squares = 0;
  for (std::size_t k = 0; k < r.time.size(); ++k) {
    const double off = std::abs(curve->at(t[k]).value - y[k]);
    squares += off * off;
    if (off > out.largest) {
      out.largest = off;
      out.at_sample = k;
    }
  }
  out.scatter = std::sqrt(squares / static_cast<double>(r.time.size()));
  out.history = curve;
  out.duration = t.back() + kAfter;
  return out;
}

}  // namespace leverwright::playing

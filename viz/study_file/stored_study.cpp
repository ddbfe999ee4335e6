#include "viz/study_file/stored_study.h"

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"

namespace leverwright::study_file {

std::string SetUp::label() const { return undone == "NOT REVERSIBLE" ? name + " (" + undone + ")" : name; }

const store::Number* SetUp::find_number(const std::string& wanted) const {
  const auto n =
      std::find_if(numbers.begin(), numbers.end(), [&](const auto& x) { return x.name == wanted; });
  return n == numbers.end() ? nullptr : &*n;
}

std::optional<double> SetUp::number(const std::string& wanted) const {
  const store::Number* n = find_number(wanted);
  return n ? std::optional<double>(n->value) : std::nullopt;
}

StoredStudy::StoredStudy(const std::string& path) : in_(path) {
  for (const store::SetUpEntry& e : in_.set_ups()) {
    if (e.status != "complete") {
      failed_.push_back(e.name + ": " + (e.reason.empty() ? e.status : e.reason));
      continue;
    }
    const std::string undone = set_ups_.empty() ? "" : text(e.path, "undone");
    const std::string numbers = e.path + "/numbers";
    set_ups_.push_back({e.name, e.path, undone,
                        in_.has(numbers) ? in_.read_numbers(numbers) : std::vector<store::Number>{}});
  }
}

const SetUp& StoredStudy::find_set_up(const std::string& name) const {
  std::string listed;
  for (const SetUp& s : set_ups_) {
    if (name.empty() || s.name == name) return s;
    listed += (listed.empty() ? "\"" : ", \"") + s.name + "\"";
  }
  throw base::UserError(path() + " holds no finished set-up \"" + name + "\"",
                        "it has " + (listed.empty() ? "none" : listed));
}

void StoredStudy::need_finished(const std::string& to) const {
  if (set_ups_.empty())
    throw base::UserError(path() + " holds no finished set-up, so there is nothing " + to,
                          "run the study to its end, or see with 'check' why its set-ups failed");
}

std::vector<double> StoredStudy::column(const std::string& path) const {
  return in_.has(path) ? in_.read_series(path).values : std::vector<double>{};
}

std::vector<std::string> StoredStudy::strings(const std::string& path) const {
  return in_.has(path) ? in_.read_strings(path) : std::vector<std::string>{};
}

std::vector<std::string> StoredStudy::groups(const std::string& path) const {
  return in_.has(path) ? in_.groups(path) : std::vector<std::string>{};
}

std::string StoredStudy::text(const std::string& path, const std::string& attribute) const {
  return in_.has_attribute(path, attribute) ? in_.text_attribute(path, attribute) : "";
}

std::optional<double> StoredStudy::attribute(const std::string& path, const std::string& name) const {
  if (!in_.has(path) || !in_.has_attribute(path, name)) return std::nullopt;
  return in_.number_attribute(path, name);
}

std::vector<Event> StoredStudy::events(const std::string& stroke_path) const {
  std::vector<Event> out;
  if (!in_.has(stroke_path + "/events")) return out;
  const store::Table table = in_.read_table(stroke_path + "/events");
  const store::Column *names = table.find("name"), *times = table.find("time");
  for (std::size_t i = 0; names != nullptr && times != nullptr && i < table.rows(); ++i)
    if (std::isfinite(times->numbers[i])) out.push_back({names->texts[i], times->numbers[i]});
  return out;
}

std::vector<scene::Point> StoredStudy::points(const std::string& path) const {
  const store::Series s = in_.read_series(path);
  if (s.columns != 2)
    throw base::UserError(in_.path() + ": " + path + " should have two columns, x and y",
                          "check the file with 'check'");
  std::vector<scene::Point> out;
  for (std::size_t i = 0; i < s.rows; ++i) out.emplace_back(s.at(i, 0), s.at(i, 1));
  return out;
}

std::vector<double> take_column(const store::Series& s, std::size_t c) {
  std::vector<double> out;
  out.reserve(s.rows);
  for (std::size_t r = 0; r < s.rows; ++r) out.push_back(s.at(r, c));
  return out;
}

std::vector<double> find_column(const store::Series& s, const std::string& name) {
  const auto& names = s.names.names;
  const auto at = std::find(names.begin(), names.end(), name);
  return at == names.end() ? std::vector<double>{}
                           : take_column(s, static_cast<std::size_t>(at - names.begin()));
}

}  // namespace leverwright::study_file

#include "models/workshop/case_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "models/case_file/document.h"
#include "models/case_file/schema.h"
#include "models/case_file/sheet_text.h"

namespace leverwright::workshop {

using case_file::trimmed;

namespace {

bool is_heading(const std::string& line) { return !trimmed(line).empty() && trimmed(line)[0] == '['; }

}  // namespace

CaseText::CaseText(const std::string& text) {
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines_.push_back(line);
}

void CaseText::put(const std::string& section, const std::string& leaf, const std::string& value) {
  const auto [from, to] = find_section("[" + section + "]");
  if (from == lines_.size() && !section.empty()) {
    const auto above = section.find_last_of('.');  // "screws.capstan" may be written below [screws]
    if (above != std::string::npos &&
        replace(section.substr(0, above), section.substr(above + 1) + "." + leaf, value))
      return;
    if (replace("", section + "." + leaf, value)) return;
    lines_.insert(lines_.end(), {"", "[" + section + "]", leaf + " = " + value});
    return;
  }
  if (replace(section, leaf, value)) return;
  std::size_t at = to;
  while (at > from + 1 && (trimmed(lines_[at - 1]).empty() || trimmed(lines_[at - 1])[0] == '#')) --at;
  lines_.insert(lines_.begin() + static_cast<long>(at), leaf + " = " + value);
}

void CaseText::remove(const std::string& heading) {
  for (;;) {
    const auto [from, to] = find_section(heading);
    if (from == lines_.size()) return;
    lines_.erase(lines_.begin() + static_cast<long>(from), lines_.begin() + static_cast<long>(to));
  }
}

void CaseText::insert_before(const std::string& heading, const std::vector<std::string>& block) {
  const std::size_t at = find_section(heading).first;
  lines_.insert(lines_.begin() + static_cast<long>(at), block.begin(), block.end());
}

void CaseText::append(const std::vector<std::string>& block) {
  lines_.insert(lines_.end(), block.begin(), block.end());
}

std::string CaseText::text() const {
  std::string out;
  for (const auto& line : lines_) out += line + "\n";
  return out;
}

// From the heading to the next one; both the number of lines when there is none. "[]" is the top.
std::pair<std::size_t, std::size_t> CaseText::find_section(const std::string& heading) const {
  std::size_t from = 0;
  if (heading != "[]") {
    while (from < lines_.size() && trimmed(lines_[from].substr(0, lines_[from].find('#'))) != heading) ++from;
    if (from == lines_.size()) return {from, from};
  }
  std::size_t to = heading == "[]" ? 0 : from + 1;
  bool in_list = false;  // a list over several lines may begin its lines with brackets
  while (to < lines_.size() && (in_list || !is_heading(lines_[to]))) {
    const std::string line = trimmed(lines_[to++]);
    if (line.size() > 1 && line.find("= [") != std::string::npos && line.back() == '[') in_list = true;
    if (line == "]") in_list = false;
  }
  return {from, to};
}

bool CaseText::replace(const std::string& section, const std::string& leaf, const std::string& value) {
  const auto [from, to] = find_section("[" + section + "]");
  for (std::size_t k = from; k < to; ++k) {
    const auto equals = lines_[k].find('=');
    if (equals == std::string::npos || trimmed(lines_[k].substr(0, equals)) != leaf) continue;
    std::string remark;
    bool in_quotes = false;
    for (std::size_t c = equals; c < lines_[k].size(); ++c) {
      if (lines_[k][c] == '"') in_quotes = !in_quotes;
      if (lines_[k][c] != '#' || in_quotes) continue;
      remark = "  " + lines_[k].substr(c);
      break;
    }
    lines_[k] = leaf + " = " + value + remark;
    return true;
  }
  return false;
}

void put_trace_block(CaseText& text, const std::string& section,
                     const std::function<const Cell*(const SheetLine&)>& find) {
  std::vector<std::string> block = {
      "",
      "[" + section + "]",
      "unit = \"mm\"",
      "uncertainty = " +
          case_file::toml_text(case_file::schema().find_point_list("wippen.heel_profile")->default_sigma),
      "source = \"bench\"",
      "points = ["};
  const std::size_t empty = block.size();
  for (const SheetLine& l : sheet_lines())
    if (const Cell* c = l.use == Use::kTracePoint ? find(l) : nullptr)
      block.push_back(fmt::format("  [{:.12g}, {:.12g}],", -1e3 * c->along, -1e3 * c->below));
  if (block.size() == empty) return;
  block.emplace_back("]");
  text.remove("[" + section + "]");
  text.append(block);
}

}  // namespace leverwright::workshop

#include "viz/table/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

namespace leverwright::table {

std::string paint(const std::string& text, Colour colour, const Look& look) {
  if (!look.colour || text.empty()) return text;
  const char* code = colour == Colour::kHeading ? "1"
                     : colour == Colour::kGood  ? "32"
                     : colour == Colour::kBad   ? "31"
                     : colour == Colour::kQuiet ? "2"
                                                : nullptr;
  return code ? fmt::format("\x1b[{}m{}\x1b[0m", code, text) : text;
}

int columns_of(const std::string& text) {
  return static_cast<int>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

namespace {

// "-0.0" says a direction that is not there.
std::string without_negative_zero(std::string text) {
  if (text.find_first_of("123456789") == std::string::npos && !text.empty() &&
      (text[0] == '-' || text[0] == '+'))
    text.erase(0, 1);
  return text;
}

}  // namespace

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "-";
  return without_negative_zero(fmt::format("{:.{}f}", value, decimals));
}

std::string fixed_signed(double value, int decimals) {
  if (!std::isfinite(value)) return "-";
  return without_negative_zero(fmt::format("{:+.{}f}", value, decimals));
}

std::vector<std::string> break_lines(const std::string& text, int width) {
  std::vector<std::string> lines;
  std::istringstream paragraphs(text);
  for (std::string paragraph; std::getline(paragraphs, paragraph);) {
    std::istringstream words(paragraph);
    std::string line;
    for (std::string word; words >> word;) {
      if (!line.empty() && columns_of(line) + 1 + columns_of(word) > width) {
        lines.push_back(line);
        line.clear();
      }
      line += (line.empty() ? "" : " ") + word;
    }
    lines.push_back(line);
  }
  if (lines.empty()) lines.emplace_back();
  return lines;
}

std::string wrap(const std::string& text, int width, const std::string& first, const std::string& rest) {
  const int room = std::max(20, width - std::max(columns_of(first), columns_of(rest)));
  std::string out;
  for (const std::string& line : break_lines(text, room)) {
    const std::string& before = out.empty() ? first : rest;
    out += line.empty() ? "\n" : before + line + "\n";
  }
  return out;
}

std::string Grid::write(const Look& look, const std::string& indent) const {
  std::vector<int> widths = widths_;
  for (const auto& row : rows_)
    for (std::size_t k = 0; k < row.size() && k < widths.size(); ++k)
      if (widths_[k] == 0) widths[k] = std::max(widths[k], columns_of(row[k].text));
  int whole = -gap_;
  for (const int w : widths) whole += w + gap_;
  std::string out;
  for (const auto& row : rows_) {
    if (row.empty()) {
      out += indent +
             paint(std::string(static_cast<std::size_t>(std::max(whole, 0)), '-'), Colour::kQuiet, look) +
             "\n";
      continue;
    }
    std::vector<std::vector<std::string>> broken;
    std::size_t lines = 1;
    for (std::size_t k = 0; k < row.size(); ++k) {
      const bool fits = columns_of(row[k].text) <= widths[k];
      broken.push_back(fits ? std::vector<std::string>{row[k].text} : break_lines(row[k].text, widths[k]));
      lines = std::max(lines, broken.back().size());
    }
    for (std::size_t l = 0; l < lines; ++l) {
      std::string line = indent;
      int pending = 0;  // blanks that are written only when something follows
      for (std::size_t k = 0; k < row.size(); ++k) {
        const std::string text = l < broken[k].size() ? broken[k][l] : "";
        const int blank = std::max(0, widths[k] - columns_of(text));
        if (!text.empty()) {
          line += std::string(static_cast<std::size_t>(pending + (row[k].right ? blank : 0)), ' ');
          line += paint(text, row[k].colour, look);
          pending = row[k].right ? 0 : blank;
        } else {
          pending += blank;
        }
        pending += gap_;
      }
      out += line + "\n";
    }
  }
  return out;
}

}  // namespace leverwright::table

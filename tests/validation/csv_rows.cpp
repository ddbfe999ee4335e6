#include "tests/validation/csv_rows.h"

#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace leverwright::validation {

namespace {

std::vector<std::string> split_line(const std::string& line) {
  std::vector<std::string> out(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      out.emplace_back();
    else if (c != '\r')
      out.back() += c;
  }
  return out;
}

}  // namespace

std::vector<Row> read_csv(const std::string& path) {
  std::ifstream in(path);
  if (!in) throw std::runtime_error("cannot read " + path);
  std::string line;
  std::getline(in, line);
  const auto names = split_line(line);
  std::vector<Row> out;
  while (std::getline(in, line)) {
    if (line.empty()) continue;
    const auto fields = split_line(line);
    if (fields.size() != names.size()) throw std::runtime_error("not as many fields as names: " + line);
    Row row;
    for (std::size_t k = 0; k < names.size(); ++k) row[names[k]] = fields[k];
    out.push_back(row);
  }
  return out;
}

std::map<std::string, double> numbers_in(const std::string& text) {
  std::map<std::string, double> out;
  std::istringstream parts(text);
  for (std::string part; std::getline(parts, part, ';');) {
    const auto equals = part.find('=');
    if (equals == std::string::npos) continue;
    const char* begin = part.c_str() + equals + 1;
    char* end = nullptr;
    const double value = std::strtod(begin, &end);
    if (end != begin) out[part.substr(0, equals)] = value;
  }
  return out;
}

}  // namespace leverwright::validation

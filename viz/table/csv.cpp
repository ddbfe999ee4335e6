#include "viz/table/csv.h"

#include <fmt/format.h>

#include <cmath>

namespace leverwright::table {

std::string join_csv(const std::vector<std::string>& fields) {
  std::string out;
  for (std::size_t k = 0; k < fields.size(); ++k) {
    if (k > 0) out += ',';
    if (fields[k].find_first_of(",\"\n\r") == std::string::npos) {
      out += fields[k];
      continue;
    }
    out += '"';
    for (const char c : fields[k]) {
      if (c == '"') out += '"';
      out += c;
    }
    out += '"';
  }
  return out + "\n";
}

std::vector<std::string> split_csv(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (std::size_t k = 0; k < line.size(); ++k) {
    const char c = line[k];
    if (quoted) {
      if (c != '"')
        fields.back() += c;
      else if (k + 1 < line.size() && line[k + 1] == '"')
        fields.back() += line[++k];
      else
        quoted = false;
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      fields.emplace_back();
    } else if (c != '\r') {
      fields.back() += c;
    }
  }
  return fields;
}

std::string csv_number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

}  // namespace leverwright::table

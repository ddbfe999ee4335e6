// Rows of a small CSV file: one header line, quoted fields allowed.
#pragma once
#include <map>
#include <string>
#include <vector>

namespace leverwright::validation {

using Row = std::map<std::string, std::string>;

std::vector<Row> read_csv(const std::string& path);

// "D=60;U=32" as numbers by name. A part that is no name=number is left out.
std::map<std::string, double> numbers_in(const std::string& text);

}  // namespace leverwright::validation

// Comma-separated lines: fields with a comma, a quote or a line break stand in double quotes, quotes inside
// doubled.
#pragma once
#include <string>
#include <vector>

namespace leverwright::table {

std::string join_csv(const std::vector<std::string>& fields);  // with a line break at the end
std::vector<std::string> split_csv(const std::string& line);
// As many digits as needed to read the same number back; nothing when it does not exist.
std::string csv_number(double value);

}  // namespace leverwright::table

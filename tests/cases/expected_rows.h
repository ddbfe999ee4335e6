// Rows of an expected.toml that are no [[expected]]: read, and held against a value.
#pragma once
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <functional>
#include <string>

#include "models/case_file/document.h"

namespace leverwright::cases_test {

inline double number_of(const case_file::Node& row, const char* key, double otherwise) {
  const case_file::Node* n = row.find(key);
  return n && n->kind == case_file::Node::Kind::kNumber ? n->number : otherwise;
}

// value and tolerance, or low and high. `at`: where the row stands, for people.
inline void expect_in_row(const case_file::Node& row, double value, const std::string& at) {
  const double middle = number_of(row, "value", NAN), tolerance = number_of(row, "tolerance", 0);
  const std::string what = at + ": " + row.find("quantity")->text + ", " + row.find("why")->text;
  EXPECT_GE(value, number_of(row, "low", middle - tolerance)) << what;
  EXPECT_LE(value, number_of(row, "high", middle + tolerance)) << what;
}

// `use` is given each case folder and its rows of that name (null when it has none).
inline void for_each_case(
    const char* rows_name,
    const std::function<void(const std::string& folder, const case_file::Node* rows)>& use) {
  for (const auto& entry : std::filesystem::directory_iterator("cases")) {
    if (!entry.is_directory()) continue;
    const std::string folder = entry.path().string();
    case_file::FileText file;
    case_file::Node root;
    case_file::ProblemList problems;
    ASSERT_TRUE(case_file::read_document(folder + "/expected.toml", "expected", file, root, problems));
    use(folder, root.find(rows_name));
  }
}

}  // namespace leverwright::cases_test

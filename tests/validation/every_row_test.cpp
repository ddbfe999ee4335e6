// Every bench row stands once in README.md, and says truly where it stands.
#include <gtest/gtest.h>

#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/read_text.h"
#include "tests/validation/csv_rows.h"

namespace leverwright::validation {
namespace {

// The cells of each table line whose first cell is a row's id.
std::map<std::string, std::vector<std::vector<std::string>>> lines_by_id(const std::string& page) {
  std::map<std::string, std::vector<std::vector<std::string>>> out;
  std::istringstream lines(page);
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("| E", 0) != 0) continue;
    std::vector<std::string> cells;
    std::istringstream parts(line.substr(1));
    for (std::string cell; std::getline(parts, cell, '|');) {
      const auto from = cell.find_first_not_of(' '), to = cell.find_last_not_of(' ');
      cells.push_back(from == std::string::npos ? "" : cell.substr(from, to - from + 1));
    }
    out[cells.front()].push_back(cells);
  }
  return out;
}

TEST(EveryRow, StandsOnceInTheTable) {
  const auto rows = read_csv("tests/validation/bench_checks.csv");
  const auto listed = lines_by_id(support::read_text("tests/validation/README.md"));
  EXPECT_EQ(rows.size(), 37u);
  std::set<std::string> ids;
  for (const Row& row : rows) {
    const std::string& id = row.at("id");
    EXPECT_TRUE(ids.insert(id).second) << id << " twice in the reference";
    ASSERT_EQ(listed.count(id), 1u) << id;
    EXPECT_EQ(listed.at(id).size(), 1u) << id;
    EXPECT_EQ(listed.at(id).front().size(), 7u) << id;
  }
  for (const auto& [id, unused] : listed) EXPECT_EQ(ids.count(id), 1u) << id << " is no row";
}

TEST(EveryRow, ReachedHasATestAndTheOthersNameWhatIsMissing) {
  std::string tests;
  for (const char* file :
       {"tests/models/case_file/static_balance_test.cpp", "tests/models/case_file/consistency_test.cpp",
        "tests/validation/bench_checks_test.cpp"})
    tests += support::read_text(file);
  const auto listed = lines_by_id(support::read_text("tests/validation/README.md"));
  std::set<std::string> not_reached;
  for (const Row& row : read_csv("tests/validation/bench_checks.csv")) {
    const std::string& id = row.at("id");
    const auto& cells = listed.at(id).front();
    const std::string& outcome = cells.back();
    if (outcome.find("not reached") != std::string::npos) {
      not_reached.insert(id);
      EXPECT_NE(outcome.find("not built"), std::string::npos) << id << " names no missing feature";
      EXPECT_EQ(tests.find(id), std::string::npos) << id << " has a test";
    } else {
      EXPECT_NE(tests.find(id), std::string::npos) << id << " has no test";
      EXPECT_FALSE(cells[3].empty()) << id << " shows no figure";
    }
    if (row.at("status") == "misprint") {
      EXPECT_NE(outcome.find("warned"), std::string::npos) << id;
    }
  }
  EXPECT_TRUE(not_reached.empty());
}

// The published columns say what the reference table says they say.
TEST(EveryRow, RelocationMeansAreThoseOfTheSource) {
  double before = 0, after = 0;
  const auto notes = read_csv("tests/validation/capstan_relocation_friction_1995.csv");
  for (const Row& r : notes) {
    before += std::stod(r.at("friction_half_difference_before_gf")) / static_cast<double>(notes.size());
    after += std::stod(r.at("friction_half_difference_after_gf")) / static_cast<double>(notes.size());
  }
  EXPECT_NEAR(before, 17.3, 0.05);
  EXPECT_NEAR(after, 10.8, 0.05);
}

}  // namespace
}  // namespace leverwright::validation

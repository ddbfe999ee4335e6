// Every case under cases/ answers what its expected.toml says, through the compare command's own function;
// and every case has at least one expected value that is not its own.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <set>
#include <string>

#include "models/case/document.h"
#include "models/case/read_case.h"
#include "models/study/compare.h"

namespace leverwright::study {
namespace {

namespace fs = std::filesystem;
using case_file::Node;

std::string text_at(const Node& entry, const std::string& key) {
  const Node* n = entry.find(key);
  return n && n->kind == Node::Kind::kText ? n->text : "";
}
double number_at(const Node& entry, const std::string& key) {
  const Node* n = entry.find(key);
  return n && n->kind == Node::Kind::kNumber ? n->number : std::numeric_limits<double>::quiet_NaN();
}

// In the unit a person reads, which the entry must name. NaN for an unknown quantity.
double measured(const SetUpResult& s, const std::string& quantity, std::string& unit) {
  if (quantity == "key ratio") {
    unit = "1";
    return s.weighing.key_ratio;
  }
  for (std::size_t k = 0; k < kMeasureCount; ++k)
    if (kMeasures[k].name == quantity) {
      unit = kMeasures[k].display_unit;
      return s.measures[k] * kMeasures[k].display_factor;
    }
  return std::numeric_limits<double>::quiet_NaN();
}

void expect_case(const std::string& folder) {
  case_file::ProblemList problems;
  case_file::FileText file;
  Node root;
  ASSERT_TRUE(case_file::read_document(folder + "/expected.toml", "expected values", file, root, problems));
  const Node* list = root.find("expected");
  ASSERT_TRUE(list && !list->items.empty());

  // The base and the set-ups that are spoken of.
  case_file::CaseDescription d = case_file::read_case(folder + "/case.toml");
  std::set<std::string> named;
  for (const Node& entry : list->items) named.insert(text_at(entry, "set_up"));
  const std::string base = d.set_ups.front().name;
  d.set_ups.erase(std::remove_if(d.set_ups.begin(), d.set_ups.end(),
                                 [&](const auto& s) { return s.name != base && named.count(s.name) == 0; }),
                  d.set_ups.end());
  CompareOptions options;
  options.uncertainty = false;
  const Comparison c = compare(d, options);

  int not_own = 0;
  for (const Node& entry : list->items) {
    const std::string set_up = text_at(entry, "set_up"), quantity = text_at(entry, "quantity"),
                      from = text_at(entry, "from");
    const std::string where = folder + "/expected.toml:" + std::to_string(entry.line) + " " + quantity;
    SCOPED_TRACE(where);
    EXPECT_FALSE(text_at(entry, "why").empty());
    EXPECT_FALSE(from.empty());
    if (from != "own") ++not_own;
    const auto s = std::find_if(c.set_ups.begin(), c.set_ups.end(),
                                [&](const SetUpResult& x) { return x.name == set_up; });
    ASSERT_NE(s, c.set_ups.end()) << "no set-up " << set_up;
    std::string unit;
    const double value = measured(*s, quantity, unit);
    ASSERT_TRUE(std::isfinite(value));
    EXPECT_EQ(text_at(entry, "unit"), unit);
    double low = number_at(entry, "low"), high = number_at(entry, "high");
    if (entry.find("value")) {
      low = number_at(entry, "value") - number_at(entry, "tolerance");
      high = number_at(entry, "value") + number_at(entry, "tolerance");
    }
    EXPECT_GE(value, low);
    EXPECT_LE(value, high);
  }
  EXPECT_GT(not_own, 0) << folder << " has nothing but its own values";
}

TEST(Expected, MissedHeel) { expect_case("cases/missed_heel"); }
TEST(Expected, SteepHeel) { expect_case("cases/steep_heel"); }

TEST(Expected, EveryCaseIsAmongThem) {
  std::set<std::string> folders;
  for (const auto& entry : fs::directory_iterator("cases"))
    if (entry.is_directory()) folders.insert(entry.path().filename().string());
  EXPECT_EQ(folders, (std::set<std::string>{"missed_heel", "steep_heel"}));
}

}  // namespace
}  // namespace leverwright::study

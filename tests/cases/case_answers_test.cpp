// Every case under cases/ answers what its expected.toml says, through the code the program runs. A row is
//
//   [[expected]]
//   set_up = "as found"                  name in the case
//   against = "..."                      optional: the change against this set-up is meant
//   quantity = "down weight"             name as in the program's JSON; of a touch "touch mf: string to check"
//   value = 52.6, tolerance = 0.3        or low and high
//   unit = "gf"                          the program's unit for it
//   why = "...", from = "..."            from: closed form, published, independent engine, or own
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "models/calibrate/as_found.h"
#include "models/case_file/document.h"
#include "models/remedies/read_case.h"
#include "viz/table/numbers.h"

namespace leverwright::cases_test {
namespace {

using case_file::Node;

const std::vector<std::string> kWords = {"set_up", "against", "quantity", "value", "tolerance",
                                         "low",    "high",    "unit",     "why",   "from"};

struct Expected {
  int line = 0;
  std::string set_up, against, quantity, unit, why, from;
  double low = 0, high = 0;
};

std::string text_of(const Node& row, const char* key) {
  const Node* n = row.find(key);
  EXPECT_TRUE(n && n->kind == Node::Kind::kText && !n->text.empty())
      << "line " << row.line << " lacks " << key;
  return n ? n->text : "";
}

std::vector<Expected> read_expected(const std::string& path) {
  case_file::FileText file;
  Node root;
  case_file::ProblemList problems;
  EXPECT_TRUE(case_file::read_document(path, "a file of expected values", file, root, problems)) << path;
  std::vector<Expected> out;
  const Node* rows = root.find("expected");
  if (!rows) return out;
  for (const Node& row : rows->items) {
    Expected e;
    e.line = row.line;
    e.set_up = text_of(row, "set_up");
    if (row.find("against")) e.against = text_of(row, "against");
    e.quantity = text_of(row, "quantity");
    e.unit = text_of(row, "unit");
    e.why = text_of(row, "why");
    e.from = text_of(row, "from");
    const Node *value = row.find("value"), *tolerance = row.find("tolerance"), *low = row.find("low"),
               *high = row.find("high");
    EXPECT_TRUE((value && tolerance && !low && !high) || (!value && !tolerance && low && high))
        << path << ":" << row.line << " needs value and tolerance, or low and high";
    if (value && tolerance) {
      EXPECT_GT(tolerance->number, 0) << path << ":" << row.line;
      e.low = value->number - tolerance->number;
      e.high = value->number + tolerance->number;
    } else if (low && high) {
      e.low = low->number;
      e.high = high->number;
    }
    for (const auto& [key, unused] : row.members)
      EXPECT_TRUE(std::count(kWords.begin(), kWords.end(), key)) << path << ":" << row.line << ": " << key;
    out.push_back(e);
  }
  return out;
}

std::vector<std::string> case_names() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(LEVERWRIGHT_SOURCE_DIR "/cases"))
    if (entry.is_directory()) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

class CaseFolder : public testing::TestWithParam<std::string> {
 protected:
  std::string folder() const { return "cases/" + GetParam(); }
};

TEST_P(CaseFolder, AnswersWhatIsExpected) {
  const std::string path = folder() + "/expected.toml";
  const auto rows = read_expected(path);
  ASSERT_FALSE(rows.empty()) << path;
  // As `compare` reads it: what the readings as found say of the frictions is taken first.
  const auto d = calibrate::condition_case(remedies::read_case(folder() + "/case.toml"), {}).description;
  study::CompareOptions options;
  options.uncertainty = false;
  for (const std::string& touch : study::known_touches())
    if (std::any_of(rows.begin(), rows.end(),
                    [&](const Expected& e) { return e.quantity.rfind("touch " + touch + ": ", 0) == 0; }))
      options.touches.push_back(touch);
  const study::Comparison c = study::compare(d, options);

  for (const Expected& e : rows) {
    const std::string at = fmt::format("{}:{}: {} of \"{}\"", path, e.line, e.quantity, e.set_up);
    const auto find = [&](const std::string& name, table::NumberLine& found) {
      const auto set_up =
          std::find_if(c.set_ups.begin(), c.set_ups.end(), [&](const auto& one) { return one.name == name; });
      ASSERT_NE(set_up, c.set_ups.end()) << at << ": there is no set-up " << name;
      const auto numbers = table::find_numbers(*set_up, &c.set_ups.front(), false);
      const auto n = std::find_if(numbers.begin(), numbers.end(), [&](const table::NumberLine& line) {
        const bool of_touch = line.group.rfind("touch", 0) == 0;
        return e.quantity == (of_touch ? line.group + ": " + line.name : line.name);
      });
      ASSERT_NE(n, numbers.end()) << at << ": the program knows no such quantity";
      found = *n;
    };
    table::NumberLine n, from;
    find(e.set_up, n);
    if (!e.against.empty()) find(e.against, from);
    EXPECT_EQ(n.unit, e.unit) << at;
    const double value = e.against.empty() ? n.value : n.value - from.value;
    EXPECT_GE(value, e.low) << at << ", " << e.why;
    EXPECT_LE(value, e.high) << at << ", " << e.why;
  }
}

TEST_P(CaseFolder, RestsOnMoreThanItsOwnAnswers) {
  int others = 0;
  for (const Expected& e : read_expected(folder() + "/expected.toml")) {
    const bool known = e.from == "own" || e.from == "closed form" || e.from == "independent engine" ||
                       e.from.rfind("published: ", 0) == 0;
    EXPECT_TRUE(known) << e.line << ": " << e.from;
    others += e.from != "own";
  }
  EXPECT_GE(others, 1);
}

TEST_P(CaseFolder, SaysThatItIsInventedAndWhatItAsks) {
  const auto d = remedies::read_case(folder() + "/case.toml");
  EXPECT_TRUE(d.invented);
  EXPECT_FALSE(d.question.empty());
  EXPECT_NE(d.story.find("nvented"), std::string::npos);
  EXPECT_TRUE(std::filesystem::exists(folder() + "/README.md"));
}

INSTANTIATE_TEST_SUITE_P(All, CaseFolder, testing::ValuesIn(case_names()),
                         [](const auto& one) { return one.param; });

}  // namespace
}  // namespace leverwright::cases_test

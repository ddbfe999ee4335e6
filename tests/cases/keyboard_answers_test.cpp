// A case with a [keyboard] answers what its expected.toml says of all 88:
//
//   [[expected_keyboard]]
//   quantity = "strike weight"        a column of the samples, at `note`; or one of those below
//   note = 52
//   value = 8.48, tolerance = 0.2     or low and high; of many notes each is meant
//   unit = "gf", why = "...", from = "..."
//
// The model is run on the sample notes and the ends only.
#include <cmath>

#include "models/keyboard/keyboard.h"
#include "models/remedies/read_case.h"
#include "sim/base/units.h"
#include "tests/cases/expected_rows.h"

namespace leverwright::cases_test {
namespace {

using namespace keyboard;
using case_file::Node;

struct Answer {
  std::string unit;
  std::vector<double> values;
};
Answer values_of(const Keyboard& k, const std::string& quantity, int note) {
  constexpr double kMm = 1e3, kGf = 1 / base::kGramForce;
  const WantedPlaces& wanted = k.wanted.front();
  if (quantity == "line at A0") return {"mm", {wanted.squares.place.front() * kMm}};
  if (quantity == "line at C8") return {"mm", {wanted.squares.place.back() * kMm}};
  if (quantity == "least worst miss") return {"mm", {wanted.worst.worst * kMm}};
  std::vector<double> out;
  if (quantity == "outliers") {
    double count = 0;
    for (const Carried& c : k.carried)
      for (const JudgedSample& s : c.samples) count += s.outlier;
    return {"1", {count}};
  }
  if (quantity == "leaded balance weight") {
    for (const int n : k.notes)
      out.push_back(
          k.find(CourseKind::kLeads)->measures[static_cast<std::size_t>(n - 1)][study::kBalanceWeight] * kGf);
    return {"gf", out};
  }
  if (quantity == "down weight lost") {
    double most = 0;
    for (const int n : k.notes) {
      const auto i = static_cast<std::size_t>(n - 1);
      most = std::max(most, std::abs(k.find(CourseKind::kNearestLine)->measures[i][study::kDownWeight] -
                                     k.find(CourseKind::kOwnPlace)->measures[i][study::kDownWeight]));
    }
    return {"gf", {most * kGf}};
  }
  for (std::size_t c = 0; c < k.carried.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    if (quantity == column.name)
      return {column.display_unit, {value_at(column, k.carried[c], note).value * column.display_factor}};
    if (quantity == "outlier: " + column.name)
      for (const JudgedSample& s : k.carried[c].samples)
        if (s.outlier) out.push_back(s.note);
  }
  return {"1", out};
}

TEST(KeyboardAnswers, AreThoseExpectedOfEveryCase) {
  int cases = 0;
  for_each_case("expected_keyboard", [&](const std::string& folder, const Node* rows) {
    const auto d = remedies::read_case(folder + "/case.toml");
    EXPECT_EQ(rows != nullptr, has_keyboard(d))
        << folder << ": what is asked of the keyboard must be expected";
    if (!rows) return;
    ++cases;
    const KeyboardCase input = read_keyboard(d);
    KeyboardOptions options;
    options.uncertainty = false;
    options.notes = input.sampled;
    options.notes.insert(options.notes.begin(), kFirstNote);
    options.notes.push_back(kLastNote);
    const Keyboard k = study_keyboard(d, input, options);
    EXPECT_TRUE(k.complete);
    int others = 0;
    for (const Node& row : rows->items) {
      const std::string at = fmt::format("{}/expected.toml:{}", folder, row.line);
      ASSERT_TRUE(row.find("quantity") && row.find("unit") && row.find("why") && row.find("from")) << at;
      const Node* note = row.find("note");
      const Answer answer =
          values_of(k, row.find("quantity")->text, note ? static_cast<int>(note->number) : 0);
      EXPECT_FALSE(answer.values.empty()) << at << ": the study knows no such quantity";
      EXPECT_EQ(answer.unit, row.find("unit")->text) << at;
      for (const double v : answer.values) expect_in_row(row, v, at);
      others += row.find("from")->text != "own";
    }
    EXPECT_GE(others, 1) << folder;
  });
  EXPECT_GE(cases, 1);
}

}  // namespace
}  // namespace leverwright::cases_test

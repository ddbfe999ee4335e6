// What a case seeks comes out as its expected.toml says:
//
//   [[expected_seek]]
//   seek = "contact on the line"       name of the [[seek]]
//   quantity = "shim"                  a varied argument, or a number by its key
//   against_base = true                optional: the number's change against the base is meant
//   value = 3.6, tolerance = 0.3       or low and high
//   met = true, why = "...", from = "..."
#include <map>

#include "models/remedies/read_case.h"
#include "models/search/read_seek.h"
#include "tests/cases/expected_rows.h"

namespace leverwright::cases_test {
namespace {

using case_file::Node;

TEST(SoughtAmounts, AreThoseExpectedOfEveryCase) {
  int cases = 0;
  for_each_case("expected_seek", [&](const std::string& folder, const Node* rows) {
    const auto d = remedies::read_case(folder + "/case.toml");
    std::map<std::string, search::Seek> wanted;
    for (const auto& s : search::read_seeks(d)) wanted[s.name] = s;
    EXPECT_EQ(rows == nullptr, wanted.empty()) << folder << ": what is sought must be expected";
    if (!rows) return;
    ++cases;
    int others = 0;
    std::map<std::string, search::SeekResult> found;
    for (const Node& row : rows->items) {
      const std::string at = fmt::format("{}/expected.toml:{}", folder, row.line);
      ASSERT_TRUE(row.find("seek") && row.find("quantity") && row.find("why") && row.find("from")) << at;
      const std::string name = row.find("seek")->text, quantity = row.find("quantity")->text;
      ASSERT_EQ(wanted.count(name), 1u) << at << ": nothing of this name is sought";
      if (found.count(name) == 0) found[name] = search::seek(d, wanted[name]);
      const search::SeekResult& r = found[name];
      ASSERT_TRUE(r.best.trial.ok) << at << ": " << r.commonest_reason;
      double value = NAN;
      for (std::size_t k = 0; k < r.seek.vary.size(); ++k)
        if (r.seek.vary[k].argument == quantity) value = r.best.amounts[k] / r.seek.vary[k].unit_si;
      if (const std::size_t k = search::find_trial_number(quantity); k < search::kTrialNumberCount) {
        const Node* change = row.find("against_base");
        value = (r.best.trial.numbers[k] - (change && change->truth ? r.base.numbers[k] : 0)) *
                search::kTrialNumbers[k].display_factor;
      }
      expect_in_row(row, value, at);
      const Node* met = row.find("met");
      EXPECT_EQ(r.met, met ? met->truth : r.met) << at;
      others += row.find("from")->text != "own";
    }
    EXPECT_GE(others, 1) << folder;
  });
  EXPECT_GE(cases, 1);
}

}  // namespace
}  // namespace leverwright::cases_test

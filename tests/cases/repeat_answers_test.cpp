// How fast a case's notes repeat, as its expected.toml says:
//
//   [[expected_repeat]]
//   set_up = "as found", against = "..."     as in [[expected]]
//   quantity = "unbroken_full"               or unbroken_partial [1/s], least_return [mm], reset_time [ms]
//   value = 11, tolerance = 1                or low and high
//   why = "...", from = "..."
#include <map>

#include "models/playing/repetition.h"
#include "models/remedies/read_case.h"
#include "tests/cases/expected_rows.h"

namespace leverwright::cases_test {
namespace {

using case_file::Node;

double value_of(const playing::Repetition& r, const std::string& quantity) {
  if (quantity == "unbroken_full") return r.full.unbroken;
  if (quantity == "unbroken_partial") return r.partial.unbroken;
  if (quantity == "least_return") return r.second.least_sounding * 1e3;
  if (quantity == "reset_time") return r.second.reset_time * 1e3;
  return NAN;
}

TEST(Repetitions, AreThoseExpectedOfEveryCase) {
  int rows_found = 0;
  for_each_case("expected_repeat", [&](const std::string& folder, const Node* rows) {
    if (!rows) return;
    const auto d = remedies::read_case(folder + "/case.toml");
    study::CompareOptions compare;
    compare.uncertainty = false;
    const study::Comparison c = study::compare(d, compare);
    playing::RepetitionOptions options;
    options.why = false;
    options.slowest = 8;
    options.fastest = 12;
    options.step = 1;
    std::map<std::string, playing::Repetition> found;
    const auto find = [&](const std::string& name) -> const playing::Repetition& {
      for (std::size_t k = 0; k < c.set_ups.size() && found.count(name) == 0; ++k)
        if (c.set_ups[k].name == name) found[name] = find_repetition(d, k, c.set_ups[k], options);
      return found[name];
    };
    for (const Node& row : rows->items) {
      ++rows_found;
      const std::string at = fmt::format("{}/expected.toml:{}", folder, row.line);
      ASSERT_TRUE(row.find("set_up") && row.find("quantity") && row.find("why") && row.find("from")) << at;
      const std::string quantity = row.find("quantity")->text;
      const playing::Repetition& r = find(row.find("set_up")->text);
      ASSERT_TRUE(r.complete) << at;
      double value = value_of(r, quantity);
      if (const Node* against = row.find("against")) value -= value_of(find(against->text), quantity);
      expect_in_row(row, value, at);
    }
  });
  EXPECT_GE(rows_found, 1);
}

}  // namespace
}  // namespace leverwright::cases_test

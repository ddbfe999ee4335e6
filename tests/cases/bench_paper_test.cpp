// The story of cases/work_order: a sheet filled in, the case made of it, the work ordered, the readings after
// it.
#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "models/workshop/order.h"
#include "models/workshop/sheet_to_case.h"
#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::cases_test {
namespace {

TEST(BenchPaper, FilledSheetIsTheCase) {
  const auto d = remedies::read_case("cases/work_order/case.toml");
  const auto sheet = workshop::read_filled_sheet("cases/work_order/filled.csv");
  EXPECT_TRUE(sheet.warnings.empty());
  ASSERT_EQ(sheet.notes.size(), 3u);
  const support::ScratchFolder folder;
  const auto back =
      remedies::read_case(folder.write("case.toml", workshop::write_case_text(sheet, 0, d).text));
  for (const auto& [key, q] : d.quantities) {
    EXPECT_EQ(back.quantity(key).value, q.value) << key;
    EXPECT_EQ(back.quantity(key).sigma, q.sigma) << key;
  }
  EXPECT_EQ(back.leads.at(0).sigma_mass, d.leads.at(0).sigma_mass);
  EXPECT_TRUE(workshop::find_misfits(sheet, 0, d).empty());
  EXPECT_EQ(workshop::write_notes_file(sheet, "as found"), support::read_text("cases/work_order/before.csv"));
}

TEST(BenchPaper, ReadingsAfterTheWorkAgree) {
  auto d = remedies::read_case("cases/work_order/case.toml");
  // With the measurements' own doubts alone the bands are narrower than the program's: a harder test, and a
  // quicker one.
  for (auto& [key, q] : d.quantities)
    if (key.rfind("measured.", 0) != 0 && key.rfind("friction.", 0) != 0) {
      q.knowledge = case_file::Knowledge::kExact;
      q.sigma = 0;
    }
  const auto rows = calibrate::read_measurements("cases/work_order/after.csv", d);
  ASSERT_EQ(rows.size(), 6u);
  const auto found = calibrate::check_afterwards(d, rows);
  EXPECT_TRUE(found.used_before);
  EXPECT_TRUE(found.agrees) << found.chance;
  for (const auto& c : found.checked) EXPECT_TRUE(c.agrees) << rows[c.row].note;
}

}  // namespace
}  // namespace leverwright::cases_test

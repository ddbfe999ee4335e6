// Bench rows that statics reach: each a small set-up of the demo's note, regulated afresh and weighed, its
// change against the row's. The geometry behind the rows is not known, so sizes are held to the row's own
// tolerance and no constant is tuned to meet them. Rows that miss are listed in README.md with the figure;
// their tests assert what is true.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "tests/models/action/prepared.h"
#include "tests/validation/csv_rows.h"

namespace leverwright::action {
namespace {

using case_file::Change;
using validation::numbers_in;
using validation::Row;

const char* const kFolder = "tests/validation/";

Row row_of(const std::string& id) {
  for (const Row& r : validation::read_csv(std::string(kFolder) + "bench_checks.csv"))
    if (r.at("id") == id) return r;
  ADD_FAILURE() << "no row " << id;
  return {};
}

void tell(const std::string& id, const std::string& what, double measured, double expected) {
  std::cout << fmt::format("{:8} {:44} {:+8.2f}   bench {:+.2f}\n", id, what, measured, expected);
}

Change centre(const char* name, double gf) {
  return make_change("friction", {{"torque", gf * kGf * 23e-3}}, {{"pivot", name}});
}
Change coefficient(const char* place, double mu) {
  return make_change("friction", {{"coefficient", mu}}, {{"place", place}});
}
Change capstan(double distance, const char* direction) {
  return make_change("capstan moved", {{"distance", distance}}, {{"direction", direction}});
}

Prepared under_policy(const std::vector<Change>& changes, const char* policy) {
  ActionDesign d = design_with(changes);
  d.policy = policy;
  return prepare(d);
}

const char* const kKeepBlowAndAftertouch = "keep blow and aftertouch";

// E13: pianotech and college lists, hammer centres tightened. The gauge radius is not given: 23 mm is taken.
TEST(BenchChecks, E13HammerCentreTightened) {
  for (const char* id : {"E13_n3", "E13_n6", "E13_n9"}) {
    const Row row = row_of(id);
    const auto start = numbers_in(row.at("inputs")), end = numbers_in(row.at("expected"));
    const double tolerance = std::stod(row.at("tolerance"));
    const double before = row.at("inputs").find(" 0->4") != std::string::npos ? 0 : 1;
    const Prepared a = prepare({centre("hammer_centre", before)}), b = prepare({centre("hammer_centre", 4)});
    const double down = end.at("D") - start.at("D0"), up = end.at("U") - start.at("U0");
    tell(id, "D, hammer centre to 4 gf", b.down() - a.down(), down);
    tell(id, "U", b.up() - a.up(), up);
    EXPECT_NEAR(b.down() - a.down(), down, tolerance) << id;
    EXPECT_NEAR(b.up() - a.up(), up, tolerance) << id;
  }
}

// E29 says 1.5 for what E13_n9 says is 3: two witnesses. Ours is nearer to E13; asserted is the sign.
TEST(BenchChecks, E29ConflictsWithE13) {
  const Row row = row_of("E29");
  EXPECT_EQ(row.at("status"), "conflicts_with_E13");
  const Prepared a = prepare({centre("hammer_centre", 0)}), b = prepare({centre("hammer_centre", 4)});
  tell("E29", "D, hammer centre 0 to 4 gf", b.down() - a.down(), 1.5);
  EXPECT_GT(b.down() - a.down(), 1.5);
}

TEST(BenchChecks, E15CapstanMovedTwoMillimetres) {
  const Row row = row_of("E15");
  EXPECT_EQ(row.at("inputs"), "capstan_mm=2");
  EXPECT_EQ(row.at("tolerance"), "30%");
  const Prepared a = under_policy({}, kKeepBlowAndAftertouch);
  const Prepared b = under_policy({capstan(2e-3, "toward the balance rail")}, kKeepBlowAndAftertouch);
  const double dip = (b.regulated.dip - a.regulated.dip) * 1e3, down = b.down() - a.down();
  tell("E15", "dip mm, capstan 2 mm toward the balance rail", dip, 0.38);
  tell("E15", "D", down, -3);
  EXPECT_NEAR(dip, 0.38, 0.3 * 0.38);
  EXPECT_NEAR(down, -3, 0.3 * 3);
}

// E17 is an upper bound of 5 gf for 1 mm of knuckle arm; ours is 5.1 to 5.8 for 1 mm of hanging distance
// (README.md).
TEST(BenchChecks, E17KnuckleArm) {
  EXPECT_EQ(row_of("E17").at("status"), "upper_bound");
  const double hung = demo_case().value("measured.hanging_distance");
  const Prepared& base = as_found();
  const Prepared longer = prepare({make_change("knuckle", {{"hanging_distance", hung + 1e-3}})});
  const Prepared shorter = prepare({make_change("knuckle", {{"hanging_distance", hung - 1e-3}})});
  tell("E17", "D, knuckle hung 1 mm further out", longer.down() - base.down(), -5);
  tell("E17", "D, 1 mm further in", shorter.down() - base.down(), 5);
  EXPECT_LT(longer.down(), base.down() - 2);
  EXPECT_GT(shorter.down(), base.down() + 2);
  EXPECT_LT(std::abs(longer.down() - base.down()), 6.5);  // of the size of the bound
  EXPECT_LT(std::abs(shorter.down() - base.down()), 6.5);
}

// E18: D -5 to -5.5 for a gram less of hammer. The balance weight meets it; D itself falls by more, since it
// is found early where the ratio is highest and friction falls with the load (README.md).
TEST(BenchChecks, E18HammerOneGramLighter) {
  const double tolerance = std::stod(row_of("E18").at("tolerance"));
  const Prepared& base = as_found();
  const Prepared light = prepare({make_change("hammer weight", {{"amount", -1 * kGf}})});
  tell("E18", "D, hammer 1 gf lighter", light.down() - base.down(), -5.25);
  tell("E18", "balance weight", light.balance() - base.balance(), -5.25);
  EXPECT_GT(light.balance() - base.balance(), -5.5 - tolerance);
  EXPECT_LT(light.balance() - base.balance(), -5.0 + tolerance);
  EXPECT_LT(light.down(), base.down() - 5);
  EXPECT_GT(light.down(), base.down() - 7.5);
}

// E21: the shift is not given. Half of a punching of 23 mm bears at the centroid of a half disc, 4 r / 3 pi
// = 4.9 mm back.
TEST(BenchChecks, E21FrontHalfOfThePunchingCut) {
  const double tolerance = std::stod(row_of("E21").at("tolerance"));
  const double shift = 4 * 11.5e-3 / (3 * base::kPi);
  const Prepared a = under_policy({}, kKeepBlowAndAftertouch);
  const Prepared b = under_policy(
      {make_change("balance punching halved", {{"shift", shift}}, {{"direction", "toward the strings"}})},
      kKeepBlowAndAftertouch);
  const double change = b.weighing.weight_ratio - a.weighing.weight_ratio;
  tell("E21", "weight ratio, front half of the punching cut", change, -0.4);
  EXPECT_NEAR(change, -0.4, tolerance);
}

// E22: from one end of the knuckle leather's range (rough) to the other (smooth, treated).
TEST(BenchChecks, E22SmoothKnuckleLeather) {
  EXPECT_EQ(row_of("E22").at("expected"), "D -10 g");
  const Prepared rough = prepare({coefficient("jack_knuckle", 0.3), coefficient("lever_knuckle", 0.3)});
  const Prepared smooth = prepare({coefficient("jack_knuckle", 0.12), coefficient("lever_knuckle", 0.12)});
  ASSERT_TRUE(rough.weighing.ok && smooth.weighing.ok);
  tell("E22", "D, knuckle friction 0.30 to 0.12", smooth.down() - rough.down(), -10);
  EXPECT_LT(smooth.down(), rough.down());
  EXPECT_NEAR(smooth.down() - rough.down(), -10, 5);
}

// E23: centres, knuckles and heel cloth freed took (D, U) from (70, 20) to (48, 30). Frictions before and
// after are chosen to give the row's 25 and 9 gf; what is tested is how the change falls on D and on U.
TEST(BenchChecks, E23EverythingFreed) {
  const double tolerance = std::stod(row_of("E23").at("tolerance"));
  const Prepared tight =
      prepare({centre("hammer_centre", 9), centre("wippen_centre", 3), centre("lever_centre", 5),
               centre("jack_centre", 2), coefficient("jack_knuckle", 0.3), coefficient("lever_knuckle", 0.3),
               coefficient("capstan_heel", 0.3)});
  const Prepared eased =
      prepare({centre("hammer_centre", 0.5), centre("wippen_centre", 0.5), centre("lever_centre", 3),
               centre("jack_centre", 1), coefficient("jack_knuckle", 0.08),
               coefficient("lever_knuckle", 0.08), coefficient("capstan_heel", 0.2)});
  ASSERT_TRUE(tight.weighing.ok && eased.weighing.ok) << tight.weighing.failure << eased.weighing.failure;
  EXPECT_NEAR(tight.friction(), 25, 1);
  EXPECT_NEAR(eased.friction(), 9, 1);
  tell("E23", "D, all freed", eased.down() - tight.down(), -22);
  tell("E23", "U", eased.up() - tight.up(), 10);
  EXPECT_NEAR(eased.down() - tight.down(), -22, tolerance);
  EXPECT_NEAR(eased.up() - tight.up(), 10, tolerance);
}

TEST(BenchChecks, E25AssistSpringUnhooked) {
  const double tolerance = std::stod(row_of("E25").at("tolerance"));
  const Prepared& unhooked = as_found();
  const Prepared hooked = prepare({make_change("assist spring", {{"strength", 15 * kGf}})});
  const double down = unhooked.down() - hooked.down(), up = unhooked.up() - hooked.up();
  tell("E25", "rise of D less rise of U, spring of 15 gf unhooked", down - up, 0);
  EXPECT_GT(down, 10);
  EXPECT_NEAR(down, up, tolerance);
}

// The row is exact for a key whose centre of mass is level with its pivot; this key's lies 12 mm above.
TEST(BenchChecks, E26FrontWeightUpByFive) {
  const Prepared& base = as_found();
  case_file::CaseDescription d = demo_case();
  d.quantities.at("measured.front_weight").value += 5 * kGf;
  ActionDesign heavier = design(d, d.set_ups.front());
  heavier.back_rail_offset = base.design.back_rail_offset;
  const Prepared p = prepare(heavier);
  tell("E26", "balance weight, front weight + 5 gf", p.balance() - base.balance(), -5);
  EXPECT_NEAR(p.balance() - base.balance(), -5, 0.05);
  EXPECT_NEAR(p.weighing.weight_ratio, base.weighing.weight_ratio, 0.005);
}

// E27: the heels' heights are not given; ours differ by 4 mm on the capstan line. The taller weighs more,
// friction is equal within measurement; the sizes agree within the row's tolerance, though for another height
// than the row's (README.md).
TEST(BenchChecks, E27TallerHeelOnTheSameSpot) {
  const double tolerance = std::stod(row_of("E27").at("tolerance"));
  const auto with_shim = [](double shim) {
    ActionDesign d = design_with({make_change("heel re-glued", {{"shift", 3e-3}, {"shim", shim}},
                                              {{"direction", "toward the strings"}})});
    d.screws[kCapstan].up = d.screws[kCapstan].down = 10e-3;  // the capstan follows the heel's height
    return prepare(d);
  };
  const Prepared shorter = with_shim(-2e-3), taller = with_shim(2e-3);
  ASSERT_TRUE(shorter.weighing.ok && taller.weighing.ok);
  tell("E27", "balance weight, heel 4 mm taller", taller.balance() - shorter.balance(), 2);
  tell("E27", "friction", taller.friction() - shorter.friction(), 0);
  EXPECT_NEAR(taller.balance() - shorter.balance(), 2, tolerance);
  EXPECT_NEAR(taller.friction(), shorter.friction(), 1);
}

// Direction and rough size only: 16 notes before and after capstan and heel were both moved by about 9.5 mm.
TEST(BenchChecks, RelocationLowersFrictionByRoughSize) {
  double before = 0, after = 0;
  int notes = 0;
  for (const Row& r : validation::read_csv(std::string(kFolder) + "capstan_relocation_friction_1995.csv")) {
    before += std::stod(r.at("friction_half_difference_before_gf"));
    after += std::stod(r.at("friction_half_difference_after_gf"));
    ++notes;
  }
  EXPECT_EQ(notes, 16);
  const Prepared a = under_policy({}, kKeepBlowAndAftertouch);
  const Prepared b = under_policy({capstan(9.5e-3, "toward the balance rail"),
                                   make_change("heel re-glued", {{"shift", 9.5e-3}, {"shim", 0}},
                                               {{"direction", "toward the balance rail"}})},
                                  kKeepBlowAndAftertouch);
  ASSERT_TRUE(b.weighing.ok) << b.weighing.failure;
  tell("1995", "friction factor, capstan and heel 9.5 mm", b.friction() / a.friction(), after / before);
  tell("1995", "weight ratio factor", b.weighing.weight_ratio / a.weighing.weight_ratio, 5.5 / 7.5);
  EXPECT_LT(b.friction() / a.friction(), 0.9);
  EXPECT_GT(b.friction() / a.friction(), 0.6);
  EXPECT_NEAR(b.weighing.weight_ratio / a.weighing.weight_ratio, 0.75, 0.06);
}

}  // namespace
}  // namespace leverwright::action

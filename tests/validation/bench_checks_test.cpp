// Bench rows that statics reach: set-ups of a case file (bench_rows/case.toml), read by the case reader,
// regulated afresh and weighed, the change against the row's. The geometry behind the rows is not known, so
// sizes are held to the row's own tolerance and no constant is tuned to meet them. Rows that miss are listed
// in README.md with the figure; their tests assert what is true.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <iostream>
#include <stdexcept>

#include "models/action/shank.h"
#include "tests/models/action/prepared.h"
#include "tests/validation/csv_rows.h"

namespace leverwright::action {
namespace {

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

const case_file::CaseDescription& rows_case() {
  static const auto d = remedies::read_case(std::string(kFolder) + "bench_rows/case.toml");
  return d;
}

// The set-up of that name, on the back rail that levels the base's key.
ActionDesign design_of(const std::string& name) {
  static const double back_rail = [] {
    ActionDesign base = design(rows_case(), rows_case().set_ups.front());
    level_key(base, {});
    return base.back_rail_offset;
  }();
  for (const auto& s : rows_case().set_ups)
    if (s.name == name) {
      ActionDesign d = design(rows_case(), s);
      d.back_rail_offset = back_rail;
      return d;
    }
  throw std::runtime_error("no set-up " + name);
}

Prepared solved(const std::string& name) { return prepare(design_of(name)); }

// E13: pianotech and college lists, hammer centres tightened. The gauge radius is not given: 23 mm is taken.
TEST(BenchChecks, E13HammerCentreTightened) {
  for (const char* id : {"E13_n3", "E13_n6", "E13_n9"}) {
    const Row row = row_of(id);
    const auto start = numbers_in(row.at("inputs")), end = numbers_in(row.at("expected"));
    const double tolerance = std::stod(row.at("tolerance"));
    const bool from_nothing = row.at("inputs").find(" 0->4") != std::string::npos;
    const Prepared a = solved(from_nothing ? "E13 hammer centre 0 gf" : "E13 hammer centre 1 gf"),
                   b = solved("E13 hammer centre 4 gf");
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
  const Prepared a = solved("E13 hammer centre 0 gf"), b = solved("E13 hammer centre 4 gf");
  tell("E29", "D, hammer centre 0 to 4 gf", b.down() - a.down(), 1.5);
  EXPECT_GT(b.down() - a.down(), 1.5);
}

// E12b: twice the lead at half the distance weighs the same at the front and has half the inertia.
TEST(BenchChecks, E12bTwoWaysToLead) {
  EXPECT_EQ(row_of("E12b").at("expected"), "I=1200 vs 600; equal first moment 120");
  const auto inertia = [](const ActionDesign& d) {
    return d.masses[0].inertia_cm + d.masses[0].mass * d.masses[0].p_cm.squaredNorm();
  };
  const ActionDesign base = design_of("base"), far = design_of("E12b lead 12 g at 100 mm"),
                     near = design_of("E12b lead 24 g at 50 mm");
  EXPECT_NEAR(far.front_weight, near.front_weight, 1e-12);
  const double moment = (far.front_weight - base.front_weight) * base.key_front_arm / base::kGravity;
  EXPECT_NEAR(moment * 1e5, 120, 1e-6);  // kg m to g cm
  tell("E12b", "key inertia g cm2, 12 g at 10 cm", (inertia(far) - inertia(base)) * 1e7, 1200);
  tell("E12b", "24 g at 5 cm", (inertia(near) - inertia(base)) * 1e7, 600);
  EXPECT_NEAR((inertia(far) - inertia(base)) * 1e7, 1200, 0.1);  // kg m2 to g cm2
  EXPECT_NEAR((inertia(near) - inertia(base)) * 1e7, 600, 0.1);
}

TEST(BenchChecks, E15CapstanMovedTwoMillimetres) {
  const Row row = row_of("E15");
  EXPECT_EQ(row.at("inputs"), "capstan_mm=2");
  EXPECT_EQ(row.at("tolerance"), "30%");
  const Prepared a = solved("E15 before"), b = solved("E15 capstan 2 mm");
  const double dip = (b.regulated.dip - a.regulated.dip) * 1e3, down = b.down() - a.down();
  tell("E15", "dip mm, capstan 2 mm toward the balance rail", dip, 0.38);
  tell("E15", "D", down, -3);
  EXPECT_NEAR(dip, 0.38, 0.3 * 0.38);
  EXPECT_LT(down, -1.5);  // the row's 30 % end at -2.1: missed by a hair (README.md)
  EXPECT_GT(down, -3.9);
}

// E17 is an upper bound of 5 gf for 1 mm of knuckle arm; ours is 5.1 to 5.8 for 1 mm of hanging distance
// (README.md).
TEST(BenchChecks, E17KnuckleArm) {
  EXPECT_EQ(row_of("E17").at("status"), "upper_bound");
  const Prepared base = solved("base"), longer = solved("E17 knuckle 1 mm further out"),
                 shorter = solved("E17 knuckle 1 mm further in");
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
  const Prepared base = solved("base"), light = solved("E18 hammer 1 gf lighter");
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
  const Prepared a = solved("E21 before"), b = solved("E21 front half of the punching cut");
  const double change = b.weighing.weight_ratio - a.weighing.weight_ratio;
  tell("E21", "weight ratio, front half of the punching cut", change, -0.4);
  EXPECT_NEAR(change, -0.4, tolerance);
}

// E22: from one end of the knuckle leather's range (rough) to the other (smooth, treated).
TEST(BenchChecks, E22SmoothKnuckleLeather) {
  EXPECT_EQ(row_of("E22").at("expected"), "D -10 g");
  const Prepared rough = solved("E22 rough knuckle"), smooth = solved("E22 smooth knuckle");
  ASSERT_TRUE(rough.weighing.ok && smooth.weighing.ok);
  tell("E22", "D, knuckle friction 0.30 to 0.12", smooth.down() - rough.down(), -10);
  EXPECT_LT(smooth.down(), rough.down());
  EXPECT_NEAR(smooth.down() - rough.down(), -10, 5);
}

// E23: centres, knuckles and heel cloth freed took (D, U) from (70, 20) to (48, 30). Frictions before and
// after are chosen to give the row's 25 and 9 gf; what is tested is how the change falls on D and on U.
TEST(BenchChecks, E23EverythingFreed) {
  const double tolerance = std::stod(row_of("E23").at("tolerance"));
  const Prepared tight = solved("E23 tight"), eased = solved("E23 eased");
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
  const Prepared unhooked = solved("base"), hooked = solved("E25 spring hooked");
  const double down = unhooked.down() - hooked.down(), up = unhooked.up() - hooked.up();
  tell("E25", "rise of D less rise of U, spring of 15 gf unhooked", down - up, 0);
  EXPECT_GT(down, 10);
  EXPECT_NEAR(down, up, tolerance);
}

// The row is exact for a key whose centre of mass is level with its pivot; this key's lies 12 mm above.
TEST(BenchChecks, E26FrontWeightUpByFive) {
  const Prepared base = solved("base"), p = solved("E26 front weight 5 gf more");
  tell("E26", "balance weight, front weight + 5 gf", p.balance() - base.balance(), -5);
  EXPECT_NEAR(p.balance() - base.balance(), -5, 0.05);
  EXPECT_NEAR(p.weighing.weight_ratio, base.weighing.weight_ratio, 0.005);
}

// E27: the heels' heights are not given; ours differ by 4 mm on the capstan line. The taller weighs more,
// friction is equal within measurement; the sizes agree within the row's tolerance, though for another height
// than the row's (README.md). In code, since a case file has no shim below zero.
TEST(BenchChecks, E27TallerHeelOnTheSameSpot) {
  const double tolerance = std::stod(row_of("E27").at("tolerance"));
  const auto with_shim = [](double shim) {
    ActionDesign d = design_of("base");
    const auto glued = make_change("heel re-glued", {{"shift", 3e-3}, {"shim", shim}},
                                   {{"direction", "toward the strings"}});
    glued.remedy->alter(glued, d);
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

// E19: four bare shanks, 1 lb at 130.2 mm; as clamped at the hammer centre. The documented stiffness and its
// range come from here; what is checked is that the hinges in the mechanism give way by as much.
TEST(BenchChecks, E19ShankBends) {
  double inches[4] = {};
  ASSERT_EQ(std::sscanf(row_of("E19").at("expected").c_str(), "deflection in: %lf / %lf / %lf / %lf",
                        &inches[0], &inches[1], &inches[2], &inches[3]),
            4);
  constexpr double kPound = 0.45359237 * base::kGravity, kInch = 25.4e-3, kArm = 0.1302;
  const auto& stiffness = rows_case().quantity("shank.stiffness");
  const auto deflection = [&](double k) {
    const double bending = k * std::pow(rows_case().value("shank.stiffness_arm"), 3) / 3;
    const Hinges h = find_hinges(kArm, 0, bending);
    double sum = 0;
    for (std::size_t i = 0; i < 2; ++i) sum += kPound * h.flexibility[i] * h.from_head[i] * h.from_head[i];
    return sum;
  };
  double mean = 0;
  for (const double d : inches) {
    EXPECT_GE(d * kInch, 0.99 * deflection(stiffness.high));
    EXPECT_LE(d * kInch, 1.01 * deflection(stiffness.low));
    mean += kPound / (d * kInch) / 4;
  }
  tell("E19", "shank under 1 lb, mm", deflection(stiffness.value) * 1e3, kPound / mean * 1e3);
  EXPECT_NEAR(stiffness.value, mean, 0.01 * mean);
}

// 16 notes before and after capstan and heel were both moved by about 9.5 mm: factors of friction 0.46 to
// 0.79. The move from where the demo's capstan stands is a miss (README.md), so only its direction is
// asserted; the same move at the row's own weight ratios lies in the span. What governs it:
// models/handbook/relocation_experiment.md.
TEST(BenchChecks, RelocationOf1995) {
  double before = 0, after = 0, least = 1e9, most = 0;
  int notes = 0;
  for (const Row& r : validation::read_csv(std::string(kFolder) + "capstan_relocation_friction_1995.csv")) {
    const double one = std::stod(r.at("friction_half_difference_before_gf")),
                 other = std::stod(r.at("friction_half_difference_after_gf"));
    before += one;
    after += other;
    least = std::min(least, other / one);
    most = std::max(most, other / one);
    ++notes;
  }
  EXPECT_EQ(notes, 16);
  const Prepared back = solved("1995 farther back"), a = solved("1995 before"),
                 b = solved("1995 capstan and heel 9.5 mm");
  ASSERT_TRUE(b.weighing.ok) << b.weighing.failure;
  ASSERT_TRUE(back.weighing.ok) << back.weighing.failure;
  tell("1995", "friction factor from the demo's place (a miss)", b.friction() / a.friction(), after / before);
  tell("1995", "weight ratio factor", b.weighing.weight_ratio / a.weighing.weight_ratio, 5.5 / 7.5);
  tell("1995", "friction factor from 9.5 mm farther back", a.friction() / back.friction(), after / before);
  tell("1995", "weight ratio there, before", back.weighing.weight_ratio, 7.5);
  tell("1995", "weight ratio there, after", a.weighing.weight_ratio, 5.5);
  EXPECT_LT(b.friction() / a.friction(), 0.95);
  EXPECT_NEAR(b.weighing.weight_ratio / a.weighing.weight_ratio, 0.75, 0.06);
  EXPECT_GT(a.friction() / back.friction(), least);
  EXPECT_LT(a.friction() / back.friction(), most);
}

}  // namespace
}  // namespace leverwright::action

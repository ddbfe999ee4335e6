// The capstan's contact in two grades: the patch tends to the point as the bed stiffens, its strips are fine
// enough, and on an edge the two differ.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "models/action/path_facts.h"
#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

// A bed so many times stiffer, in pressing and in shear (it is one cloth).
ActionDesign with_bed(double stiffness, bool patch, std::vector<case_file::Change> changes = {}) {
  ActionDesign d = design_with(changes);
  ContactLaw& law = d.laws[kCapstanHeel];
  law.cloth = law.cloth.scaled(stiffness);
  law.friction = planar::DryFriction(law.friction.mu(), law.friction.shear_share(), law.cloth.exponent(),
                                     5e-6 / stiffness, 2e-4);
  d.patch_grade = patch;
  return d;
}

// Compared by the mean forces over the window, which no single strip's coming into bearing can move. What is
// left goes with the width of the patch, the fifth root of the stiffness: a first-order difference.
TEST(Patch, TendsToThePointAsTheBedStiffens) {
  std::vector<double> down, up;
  std::cout << "bed stiffness   patch less point, gf:  mean down  mean up       D       U\n";
  for (const double factor : {1.0, 8.0, 64.0, 512.0, 4096.0}) {
    ActionDesign fine = with_bed(factor, true);
    if (factor > 10) fine.patch_spacing *= 0.5;
    const Prepared point = prepare(with_bed(factor, false)), patch = prepare(fine);
    ASSERT_TRUE(point.weighing.ok && patch.weighing.ok) << point.weighing.failure << patch.weighing.failure;
    down.push_back((patch.weighing.mean_down - point.weighing.mean_down) / kGf);
    up.push_back((patch.weighing.mean_up - point.weighing.mean_up) / kGf);
    std::cout << fmt::format("{:13.0f}   {:31.4f} {:8.4f} {:7.4f} {:7.4f}\n", factor, down.back(), up.back(),
                             patch.down() - point.down(), patch.up() - point.up());
  }
  EXPECT_GT(std::abs(up[0]), 0.2);
  for (std::size_t k = 2; k < 5; k += 2) {
    EXPECT_LT(std::abs(down[k]), 0.5 * std::abs(down[k - 2]));
    EXPECT_LT(std::abs(up[k]), 0.5 * std::abs(up[k - 2]));
  }
  EXPECT_LT(std::abs(down[4]), 0.06);
  EXPECT_LT(std::abs(up[4]), 0.06);
}

TEST(Patch, HalvingItsStripsChangesFrictionByLessThanAThousandth) {
  ActionDesign fine = with_bed(1, true);
  const Prepared coarse = prepare(fine);
  fine.patch_spacing *= 0.5;
  const Prepared halved = prepare(fine);
  ASSERT_TRUE(coarse.weighing.ok && halved.weighing.ok);
  EXPECT_NEAR(halved.friction(), coarse.friction(), 1e-3 * coarse.friction());
  EXPECT_NEAR(halved.down(), coarse.down(), 1e-3 * coarse.down());
}

// Flat cap leaning so that its edge digs in.
TEST(Patch, DiffersFromThePointOnAnEdge) {
  const std::vector<case_file::Change> edge = {
      make_change("cap", {{"diameter", 8e-3}, {"edge_fillet", 0.6e-3}}, {{"shape", "flat"}}),
      make_change("capstan lean", {{"angle", 9 * base::kDegree}},
                  {{"about", "middle of its cap (apex kept)"}})};
  const Prepared point = prepare(with_bed(1, false, edge)), patch = prepare(with_bed(1, true, edge));
  ASSERT_TRUE(point.weighing.ok && patch.weighing.ok) << point.weighing.failure << patch.weighing.failure;
  const auto at_point = analysis::find_slide_path(point.action.mechanism, point.weighing.down,
                                                  group_of(point.action, kCapstanHeel));
  const auto on_patch = analysis::find_slide_path(patch.action.mechanism, patch.weighing.down,
                                                  group_of(patch.action, kCapstanHeel));
  EXPECT_GT(on_patch.travel_on_edge, 1e-3);
  EXPECT_GT(at_point.travel_on_edge, 1e-3);
  std::cout << fmt::format(
      "edge: D {:.2f} and {:.2f} gf, F {:.2f} and {:.2f} gf, friction work {:.3g} and {:.3g} J, mark {:.2f} "
      "and {:.2f} mm\n",
      point.down(), patch.down(), point.friction(), patch.friction(), at_point.friction_work,
      on_patch.friction_work, (at_point.mark_to - at_point.mark_from) * 1e3,
      (on_patch.mark_to - on_patch.mark_from) * 1e3);
  // By how much, stated: the edge that digs in spreads the load over 5 mm of cloth. D rises by 0.86 gf,
  // weighed friction falls by 0.29, and the capstan's friction work is 0.69 of the point's (own figures, a
  // guard).
  EXPECT_NEAR(patch.down() - point.down(), 0.86, 0.2);
  EXPECT_NEAR(patch.friction() - point.friction(), -0.29, 0.2);
  EXPECT_NEAR(on_patch.friction_work / at_point.friction_work, 0.69, 0.1);
  EXPECT_GT(on_patch.mark_to - on_patch.mark_from, at_point.mark_to - at_point.mark_from);
}

}  // namespace
}  // namespace leverwright::action

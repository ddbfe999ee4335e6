// How much the bristle's stiffness matters: the shear stiffness of every surface, and the yield angle of
// every bushing, over two decades about the default. The table is printed to friction_sweep.csv in the build
// folder; the one published is tests/validation/friction_sweep.csv. A bearing surface shears by
// mu d / (kappa_t p) before it slides. Within a decade below the default the hammer gains less than 1 % at
// every touch and D moves by less than 1 gf.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

struct Row {
  std::string parameter;
  double factor = 1;
  double down = 0, up = 0;        // [gf]
  std::array<double, 3> speed{};  // of the hammer at p, mf, f [m/s]
};

// Factor on the stiffness of the stuck surface or bushing. Screws stay: the quiet regulation knows no
// friction.
Row play_with(const std::string& parameter, double factor) {
  const Played& base = played_as_found();
  Played p;
  p.design = base.design;
  p.regulated = base.regulated;
  for (ContactLaw& law : p.design.laws)
    if (parameter == "shear stiffness")
      law.friction =
          planar::DryFriction(law.friction.mu(), factor * law.friction.shear_share(), law.cloth.exponent(),
                              law.friction.nap_shear(), law.friction.damping_time());
  for (planar::PivotFriction& f : p.design.pivots)
    if (parameter == "bushing stiffness")
      f = planar::PivotFriction(f.coulomb(), f.load_radius(), f.viscous(), f.yield_angle() / factor);
  p.action = assemble(p.design, p.regulated.screws);
  p.rest = build_rest(p.action, p.regulated.rest.q);
  WeighOptions o;
  o.whole_stroke = false;
  const Weighing w = weigh(p.action, p.regulated, o);
  PlayOptions quick;
  quick.stop_at_string = true;
  quick.stroke.output_interval = 0;
  Row row{parameter, factor, w.down_weight / kGf, w.up_weight / kGf, {}};
  const char* const names[] = {"p", "mf", "f"};
  for (std::size_t k = 0; k < 3; ++k)
    row.speed[k] = play_touch(p, touch_as_found(names[k]).touch, quick).measures.hammer_speed;
  return row;
}

std::string table(const std::vector<Row>& rows) {
  std::string out = "parameter,factor,down_weight_gf,up_weight_gf,speed_p_m_s,speed_mf_m_s,speed_f_m_s\n";
  for (const Row& r : rows)
    out += fmt::format("{},{:.4g},{:.3f},{:.3f},{:.4f},{:.4f},{:.4f}\n", r.parameter, r.factor, r.down, r.up,
                       r.speed[0], r.speed[1], r.speed[2]);
  return out;
}

TEST(FrictionSweep, WithinADecadeBelowTheDefaultLittleChanges) {
  std::vector<Row> rows;
  for (const char* parameter : {"shear stiffness", "bushing stiffness"})
    for (const double factor : {0.1, 0.2154, 0.4642, 1.0, 2.154, 4.642, 10.0})
      rows.push_back(play_with(parameter, factor));
  std::ofstream(std::string(LEVERWRIGHT_BUILD_DIR) + "/friction_sweep.csv") << table(rows);
  const Row& usual = rows[3];
  for (const Row& r : rows) {
    if (r.factor > 1 || r.parameter != "shear stiffness") continue;
    EXPECT_LT(std::abs(r.down - usual.down), 1) << r.factor;
    for (std::size_t k = 0; k < 3; ++k)
      EXPECT_LT(std::abs(r.speed[k] / usual.speed[k] - 1), 0.01) << r.factor << ", touch " << k;
  }
  EXPECT_NE(rows[0].down, usual.down) << "the parameter acts";
  // The published table is this one.
  std::ifstream published("tests/validation/friction_sweep.csv");
  std::string line;
  ASSERT_TRUE(std::getline(published, line));
  for (const Row& r : rows) {
    ASSERT_TRUE(std::getline(published, line)) << "rows are missing";
    std::stringstream cells(line);
    std::string cell;
    std::getline(cells, cell, ',');
    EXPECT_EQ(cell, r.parameter);
    const double computed[] = {r.factor, r.down, r.up, r.speed[0], r.speed[1], r.speed[2]};
    const double allowed[] = {1e-3, 0.1, 0.1, 5e-3, 1e-2, 2e-2};
    for (int k = 0; k < 6; ++k) {
      std::getline(cells, cell, ',');
      EXPECT_NEAR(std::stod(cell), computed[k], allowed[k]) << line << ", column " << k + 1;
    }
  }
}

}  // namespace
}  // namespace leverwright::action

// The friction ledger adds up, each row is what its own law dissipates, and a planted error is noticed.
#include "sim/analysis/ledger.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/analysis/slide_path.h"
#include "tests/sim/analysis/lever_train.h"

namespace leverwright::analysis {
namespace {

struct Setting {
  TrainOptions options;
  double tolerance;
};

class Ledger : public ::testing::TestWithParam<int> {
 public:
  Setting setting() const {
    Setting s{{}, 1e-6};
    if (GetParam() == 1) s.options.rough = true;
    if (GetParam() == 2) {  // "rigid": surfaces ten thousand times stiffer
      s.options.stiffness = 1e4;
      s.tolerance = 1e-9;
    }
    return s;
  }
};
INSTANTIATE_TEST_SUITE_P(CompliantRoughRigid, Ledger, ::testing::Values(0, 1, 2));

TEST_P(Ledger, RowsAddUpToHalfTheDifference) {
  const Setting s = setting();
  const Train train = make_train(s.options);
  const Strokes path = lead_train(train, true, 1e-3, 9e-3, 0.1e-3);
  ASSERT_TRUE(path.ok);
  ASSERT_EQ(path.down.size(), path.up.size());
  for (std::size_t k = 0; k < path.down.size(); ++k) {
    const FrictionLedger l = find_ledger(train.mechanism, path.down[k], path.up[k]);
    EXPECT_GT(l.half_difference, 0.01);
    EXPECT_LT(std::abs(l.misfit), s.tolerance)
        << "at " << l.travel << ", unbalanced " << path.down[k].residual << " and " << path.up[k].residual
        << " N m, u " << path.down[k].state.u[0] << " " << path.down[k].state.u[1] << " up "
        << path.up[k].state.u[0] << " " << path.up[k].state.u[1];
    for (const LedgerRow& row : l.rows) {
      if (row.kind != LedgerKind::kStored) {
        EXPECT_GE(row.down, -1e-9) << row.name;
        EXPECT_GE(row.up, -1e-9) << row.name;
      }
    }
  }
}

TEST_P(Ledger, APlantedErrorIsNoticed) {
  const Setting s = setting();
  const Train train = make_train(s.options);
  const Strokes path = lead_train(train, true, 4e-3, 5e-3, 0.1e-3);
  ASSERT_TRUE(path.ok);
  run::StaticSample down = path.down[5];
  for (const int which : {0, 1, 2}) {
    run::StaticSample wrong = down;
    double& row = which == 0   ? wrong.ledger.friction[0]
                  : which == 1 ? wrong.ledger.cloth[1]
                               : wrong.ledger.pivot[2];
    row = 1.01 * row + 1e-4;  // one percent and 0.01 gf too much
    EXPECT_GT(std::abs(find_ledger(train.mechanism, wrong, path.up[5]).misfit), 1e-4) << which;
  }
}

// The stored-energy row against the energy itself: V from the formulas of gravity, springs, cloth, bristles
// and pivots at neighbouring states of the path, differenced.
TEST_P(Ledger, StoredRowIsTheSlopeOfTheStoredEnergy) {
  if (GetParam() == 2)
    return;  // rigid surfaces: differences would drown in rounding; the identity above holds them
  const Setting s = setting();
  const Train train = make_train(s.options);
  const auto& m = train.mechanism;
  const Strokes path = lead_train(train, true, 2e-3, 8e-3, 0.02e-3);
  ASSERT_TRUE(path.ok);
  planar::Scratch w(m);
  const auto energy = [&](const run::StaticSample& x) {
    w.q = x.state.q;
    w.v.setZero();
    m.calc_geometry(w);
    double e = m.tree.gravity_energy(w.poses, m.gravity) + m.spring_energy(w.q);
    for (std::size_t i = 0; i < m.contacts.size(); ++i) {
      const auto& c = *m.contacts[i];
      e += c.cloth.stored(x.contact_points[i].depth, x.state.d0[i]) +
           c.friction.stored(c.press(x.contact_points[i], x.normal[i]), x.state.u[i]);
    }
    for (std::size_t i = 0; i < m.pivots.size(); ++i)
      e += m.pivots[i].friction.stored(x.pivot_reaction[i], x.state.pivot_u[i]);
    return e;
  };
  std::vector<double> errors;
  for (const auto* list : {&path.down, &path.up})
    for (std::size_t k = 1; k + 1 < list->size(); ++k) {
      const auto &a = (*list)[k - 1], &b = (*list)[k + 1], &here = (*list)[k];
      const double slope = (energy(b) - energy(a)) / (b.travel - a.travel);
      errors.push_back(std::abs(slope - here.ledger.stored));
    }
  ASSERT_GT(errors.size(), 500u);
  std::sort(errors.begin(), errors.end());
  // 0.02 gf of about 40 (the pivots' level is taken as constant in their row), but for the few samples with a
  // corner of a law between the neighbours.
  EXPECT_LT(errors[errors.size() * 93 / 100], 2e-4);
  EXPECT_LT(errors[errors.size() / 2], 2e-5);
}

// Hysteresis of a slowly loaded cloth is eta F_e times the depth rate.
TEST(LedgerRows, PivotsAndClothDissipateWhatTheirLawsSay) {
  TrainOptions o;
  const Train train = make_train(o);
  const Strokes path = lead_train(train, true, 3e-3, 7e-3, 0.1e-3);
  ASSERT_TRUE(path.ok);
  const auto& m = train.mechanism;
  for (std::size_t k = 20; k < path.down.size(); ++k) {
    const auto& s = path.down[k];
    for (std::size_t i = 0; i < 3; ++i) {
      const double turn = s.dq[static_cast<int>(i)];
      if (std::abs(s.state.pivot_u[i]) == 1.0) {
        EXPECT_NEAR(s.ledger.pivot[i], m.pivots[i].friction.level(s.pivot_reaction[i]) * std::abs(turn),
                    1e-9);
      }
    }
    for (std::size_t i = 0; i < 2; ++i) {
      EXPECT_LE(s.ledger.cloth[i], 1.3 * o.hysteresis *
                                           m.contacts[i]->cloth.elastic_force(s.contact_points[i].depth) *
                                           std::abs(s.depth_rate[i]) +
                                       1e-12);
      if (std::abs(s.state.u[i]) == 1.0 && s.state.u[i] * s.slip_rate[i] > 0) {
        EXPECT_LE(s.ledger.friction[i], o.friction * s.normal[i] * std::abs(s.slip_rate[i]) * 1.0001 + 1e-3);
      }
    }
  }
}

// Without friction the work put in is the energy gained: F dy = dV.
TEST(VirtualWork, EqualsPotentialEnergyWithoutFriction) {
  TrainOptions o;
  o.friction = o.hysteresis = o.pivot = 0;
  const Train train = make_train(o);
  const double step = 0.025e-3;
  const Strokes path = lead_train(train, false, 0.5e-3, 9.5e-3, step);
  ASSERT_TRUE(path.ok);
  const auto& m = train.mechanism;
  planar::Scratch w(m);
  const auto energy = [&](const run::StaticSample& x) {
    w.q = x.state.q;
    m.calc_geometry(w);
    double e = m.tree.gravity_energy(w.poses, m.gravity) + m.spring_energy(w.q);
    for (std::size_t i = 0; i < m.contacts.size(); ++i)
      e += m.contacts[i]->cloth.elastic_energy(x.contact_points[i].depth);
    return e;
  };
  double work = 0;
  const auto& d = path.down;
  for (std::size_t k = 0; k + 2 < d.size(); k += 2)
    work += (d[k].force + 4 * d[k + 1].force + d[k + 2].force) * (d[k + 2].travel - d[k].travel) / 6;
  const std::size_t last = 2 * ((d.size() - 1) / 2);
  EXPECT_NEAR(work, energy(d[last]) - energy(d[0]), 1e-6 * std::abs(work));
  for (const auto& s : d) {
    EXPECT_NEAR(s.force, s.ledger.stored, 1e-6 * std::abs(s.force));
    EXPECT_LT(s.residual, 1e-9);
  }
  // And down and up are one curve.
  for (std::size_t k = 0; k < d.size(); ++k) EXPECT_NEAR(d[k].force, path.up[k].force, 1e-8);
}

TEST(SlidePath, ContactPathAndSlideAreDifferentNumbers) {
  TrainOptions o;
  const Train train = make_train(o);
  const Strokes path = lead_train(train, true, 1e-3, 9e-3, 0.05e-3);
  ASSERT_TRUE(path.ok);
  const SlidePath p = find_slide_path(train.mechanism, path.down, train.mechanism.group_of(0));
  ASSERT_EQ(p.points.size(), path.down.size());
  // The way over the profile from the base coordinate, the slide from the material points: written a second
  // time.
  double over = 0, slide = 0, work = 0;
  for (std::size_t k = 1; k < path.down.size(); ++k) {
    const auto &a = path.down[k - 1], &b = path.down[k];
    over += std::abs(b.contact_points[0].s_b - a.contact_points[0].s_b);
    slide += 0.5 * std::abs(a.slip_rate[0] + b.slip_rate[0]) * (b.travel - a.travel);
    work += 0.5 * (a.ledger.friction[0] + b.ledger.friction[0]) * (b.travel - a.travel);
  }
  EXPECT_NEAR(p.path_b, over, 0.03 * over);
  EXPECT_NEAR(p.slide, slide, 0.01 * slide);
  EXPECT_NEAR(p.friction_work, work, 1e-9);
  EXPECT_GT(std::abs(p.path_b - p.slide), 0.1 * p.slide);
  EXPECT_LT(p.mark_from, p.mark_to);
  EXPECT_GT(p.largest_normal, 0.3);
  // The mark is where the contact has been.
  for (const SlidePoint& c : p.points) {
    EXPECT_TRUE(c.touching && c.has_line);
    EXPECT_GE(c.s_b, p.mark_from - 1e-15);
    EXPECT_LE(c.s_b, p.mark_to + 1e-15);
  }
  // On the line of centres the slip turns over.
  if (p.crossings.size() == 1) {
    EXPECT_EQ(p.reversals, 1);
  }
  EXPECT_FALSE(find_slide_path(train.mechanism, path.down, -1).touched);
}

}  // namespace
}  // namespace leverwright::analysis

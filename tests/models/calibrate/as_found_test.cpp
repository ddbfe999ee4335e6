// Readings of the action as found: held against the model, leaned on, and kept by the inputs a study moves.
#include "models/calibrate/as_found.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "models/calibrate/swing.h"
#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "models/study/inputs.h"
#include "models/study/set_up_solver.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {
namespace {

using case_file::CaseDescription;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double kGf = base::kGramForce;

// Against the normal equations written out: covariance (I + G^T C^-1 G)^-1, mean that times G^T C^-1 r.
TEST(AsFound, PosteriorIsThatOfTheNormalEquations) {
  MatrixXd g(2, 5), c(2, 2);
  g << 1.1, 0.4, -0.7, 2.0, 0.05, 0.9, -0.5, 0.6, 1.2, -0.3;
  c << 0.8, 0.25, 0.25, 1.4;
  const VectorXd r = (VectorXd(2) << 2.3, -0.9).finished();
  const LinearPosterior p = find_posterior(g, c, r);
  const MatrixXd covariance = (MatrixXd::Identity(5, 5) + g.transpose() * c.inverse() * g).inverse();
  EXPECT_LT((p.x - covariance * g.transpose() * c.inverse() * r).norm(), 1e-12);
  const MatrixXd ours = MatrixXd::Identity(5, 5) -
                        p.v * (VectorXd::Ones(2) - p.left.cwiseAbs2()).asDiagonal() * p.v.transpose();
  EXPECT_LT((ours - covariance).norm(), 1e-12);
}

CaseDescription typical() { return remedies::read_case("tests/validation/typical_note/case.toml"); }

void read_as(CaseDescription& d, const char* key, double value, double sigma) {
  case_file::Quantity q;
  q.value = value;
  q.sigma = sigma;
  q.knowledge = case_file::Knowledge::kMeasured;
  q.dimension = std::string(key).find("weight") != std::string::npos ? case_file::Dimension::kWeight
                                                                     : case_file::Dimension::kLength;
  d.quantities[key] = q;
}

// Inputs made from what was told are independent, and together spread the case's values as the posterior
// says.
TEST(AsFound, TiedInputsSpreadAsThePosterior) {
  CaseDescription d = typical();
  const auto alone = study::find_inputs(d);
  const char* keys[] = {"contact.lever_knuckle.friction", "friction.key_front", "measured.strike_weight"};
  case_file::Told one, other;
  std::vector<std::string> ids;
  for (const char* key : keys)
    for (const auto& in : alone)
      if (in.kind == study::Input::Kind::kQuantity && in.key == key) ids.push_back(study::id_of(in));
  ASSERT_EQ(ids.size(), 3u);
  one.along = {{ids[0], 0.8}, {ids[1], 0.6}};
  one.left = 0.3;
  other.along = {{ids[0], 0.36}, {ids[1], -0.48}, {ids[2], 0.8}};
  other.left = 0.7;
  d.told = {one, other};
  MatrixXd covariance = MatrixXd::Zero(3, 3);
  constexpr double kStep = 0.01;
  for (const auto& in : study::find_inputs(d)) {
    const CaseDescription moved = study::move_input(d, in, kStep);
    VectorXd by(3);
    for (int k = 0; k < 3; ++k)
      by[k] = (moved.value(keys[k]) - d.value(keys[k])) / (kStep * d.quantity(keys[k]).sigma);
    covariance += by * by.transpose();
  }
  const auto of = [](const case_file::Told& t, const std::string& id) {
    const auto at = t.along.find(id);
    return at == t.along.end() ? 0.0 : at->second;
  };
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) {
      double wanted = i == j ? 1 : 0;
      for (const auto& t : {one, other}) wanted -= (1 - t.left * t.left) * of(t, ids[i]) * of(t, ids[j]);
      EXPECT_NEAR(covariance(i, j), wanted, 1e-6) << i << j;
    }
}

struct Weights {
  double down = 0, up = 0;
};
Weights weigh(const CaseDescription& d) {
  const auto m = study::SetUpSolver(d).measure(d, 0, {});
  return {m[study::kDownWeight], m[study::kUpWeight]};
}

// A note that rubs more than the case says, read without error: the conditioned case weighs what was read,
// and its doubt about the weights is about the readings' own.
TEST(AsFound, ReadingsAreKept) {
  CaseDescription hidden = typical(), d = typical();
  hidden.quantities.at("contact.lever_knuckle.friction").value *= 1.5;
  hidden.quantities.at("contact.jack_knuckle.friction").value *= 1.5;
  hidden.quantities.at("friction.hammer_centre").value *= 1.3;
  const Weights truth = weigh(hidden), before = weigh(d);
  ASSERT_GT(std::abs(truth.down - before.down), 1.5 * kGf) << "there is something to find";
  read_as(d, "measured.down_weight", truth.down, 1 * kGf);
  read_as(d, "measured.up_weight", truth.up, 1 * kGf);
  const Conditioned c = condition_case(d);
  ASSERT_TRUE(c.as_found.conditioned);
  const Weights after = weigh(c.description);
  EXPECT_LT(std::abs(after.down - truth.down), 0.35 * std::abs(before.down - truth.down));
  EXPECT_LT(std::abs(after.up - truth.up), 0.5 * kGf);
  EXPECT_GT(c.description.value("contact.lever_knuckle.friction"), d.value("contact.lever_knuckle.friction"));
  ASSERT_EQ(c.description.told.size(), 2u);
  // Doubt of the down weight from the tied inputs against that from the case as it stands.
  const auto doubt = [](const CaseDescription& about) {
    const study::SetUpSolver solver(about);
    const double here = solver.measure(about, 0, {})[study::kDownWeight];
    double sum = 0;
    for (const auto& in : study::find_inputs(about)) {
      const double there = solver.measure(study::move_input(about, in, 1), 0, {})[study::kDownWeight];
      if (std::isfinite(there)) sum += (there - here) * (there - here);
    }
    return std::sqrt(sum);
  };
  EXPECT_GT(doubt(d), 2 * kGf);
  EXPECT_LT(doubt(c.description), 1.5 * kGf);
  for (const auto& row : c.as_found.rows) {
    if (row.name != "down weight") continue;
    EXPECT_NEAR(row.computed, before.down, 1e-4 * kGf);
    EXPECT_NEAR(row.base, row.measured, 1.5 * kGf) << "no screw was read: the base is as found";
  }
}

// A key that rocks on its punching, which the case does not know, weighs some gf more than all of the case's doubts
// allow. A scale is believed before a model: the case ends near the readings, friction stays what both weights make it,
// and an aftertouch read is kept beside.
TEST(AsFound, WhatTheModelLeavesOutIsNotAskedOfTheFrictions) {
  CaseDescription hidden = typical(), d = typical();
  hidden.choices["options.balance_punching"] = "on";
  const Weights truth = weigh(hidden), before = weigh(d);
  ASSERT_GT(truth.up - before.up, 4 * kGf);
  read_as(d, "measured.down_weight", truth.down, 1.5 * kGf);
  read_as(d, "measured.up_weight", truth.up, 1.5 * kGf);
  const Conditioned c = condition_case(d);
  const Weights after = weigh(c.description);
  EXPECT_NEAR(after.down, truth.down, 1 * kGf);
  EXPECT_NEAR(after.up, truth.up, 1 * kGf);
  EXPECT_GT(c.description.value("key.left_out"), 0.5 * kGf);
  EXPECT_EQ(d.quantities.count("key.left_out"), 0u) << "of the conditioned case alone";
  for (const char* key : {"measured.dip", "measured.blow"})
    read_as(d, key, d.value(std::string("regulation.") + (key + 9)), 0.1e-3);
  const study::SetUpSolver solver(d);
  const double computed = solver.measure(d, 0, {})[study::kAftertouch];
  read_as(d, "measured.aftertouch", computed + 0.3e-3, 0.1e-3);
  const Conditioned with = condition_case(d);
  const double kept =
      study::SetUpSolver(with.description).measure(with.description, 0, {})[study::kAftertouch];
  EXPECT_GT(kept, computed + 0.1e-3) << "a reading is leaned on";
  EXPECT_LT(kept, computed + 0.3e-3) << "and the dip's own error allowed for";
}

// A steep, grooved heel sticks or slides within the doubts: effects found at the case's own values say little of those
// where the readings led. They are found again there, and a base that was weighed is not told as hardly known.
TEST(AsFound, OnASteepHeelTheWeightsComeOutAsRead) {
  CaseDescription d = remedies::read_case("cases/steep_heel/case.toml");
  d.set_ups.resize(1);
  read_as(d, "measured.down_weight", 66 * kGf, 1.5 * kGf);
  read_as(d, "measured.up_weight", 30 * kGf, 1.5 * kGf);
  const Conditioned c = condition_case(d);
  ASSERT_TRUE(c.as_found.conditioned);
  const study::Comparison compared = study::compare(c.description, {});
  for (const auto& [measure, read] :
       {std::pair{study::kDownWeight, 66.0}, std::pair{study::kUpWeight, 30.0}}) {
    const study::MeasureResult& r = compared.set_ups.front().results[measure];
    EXPECT_NEAR(r.value, read * kGf, 1.5 * kGf);
    EXPECT_LE(r.sigma, 1.5001 * kGf);
  }
}

TEST(AsFound, WithoutReadingsNothingMovesAndThatIsSaid) {
  const CaseDescription d = typical();
  const Conditioned c = condition_case(d);
  EXPECT_FALSE(c.as_found.any);
  EXPECT_TRUE(c.description.told.empty());
  for (const auto& [key, q] : d.quantities) EXPECT_EQ(c.description.value(key), q.value) << key;
  const auto& notes = c.description.notes;
  EXPECT_TRUE(std::any_of(notes.begin(), notes.end(), [](const std::string& s) {
    return s.find("absolute values rest on estimates") != std::string::npos;
  }));
}

TEST(AsFound, PriorOnlyComparesAndLeavesEveryValue) {
  CaseDescription d = typical();
  read_as(d, "measured.down_weight", 55 * kGf, 1.5 * kGf);
  ConditionOptions options;
  options.prior_only = true;
  const Conditioned c = condition_case(d, options);
  EXPECT_TRUE(c.as_found.any);
  EXPECT_FALSE(c.as_found.conditioned);
  ASSERT_EQ(c.as_found.rows.size(), 1u);
  EXPECT_TRUE(std::isfinite(c.as_found.rows[0].off_by()));
  for (const auto& [key, q] : d.quantities) EXPECT_EQ(c.description.value(key), q.value) << key;
}

// Screws go to the readings; aftertouch, which then results, checks the travel ratio. 10.2 mm of dip less 1.0
// of aftertouch for 45 - 2 mm of hammer is 4.67, where this geometry has more.
TEST(AsFound, TravelRatioIsHeldAgainstTheGeometry) {
  CaseDescription d = typical();
  read_as(d, "measured.dip", 10.2e-3, 0.1e-3);
  read_as(d, "measured.blow", 45e-3, 0.5e-3);
  read_as(d, "measured.let_off", 2e-3, 0.2e-3);
  read_as(d, "measured.aftertouch", 1.0e-3, 0.1e-3);
  const Conditioned c = condition_case(d);
  const AsFound& f = c.as_found;
  EXPECT_NEAR(f.ratio_read, 43 / 9.2, 1e-9);
  EXPECT_GT(f.ratio_geometry, 4.9);
  EXPECT_EQ(f.missing, std::vector<std::string>{"drop"});
  ASSERT_EQ(f.warnings.size(), 1u);
  EXPECT_NE(f.warnings[0].find("travel ratio"), std::string::npos);
  for (const auto& row : f.rows)
    if (row.name == "aftertouch") {
      EXPECT_GT(row.computed - row.measured, 0.3e-3);
    }
  // With the aftertouch the geometry makes, nothing is said.
  read_as(d, "measured.aftertouch", 10.2e-3 - 43e-3 / f.ratio_geometry, 0.1e-3);
  EXPECT_TRUE(condition_case(d).as_found.warnings.empty());
}

// A friction read by itself: the posterior of one normal value read once, m + (y - m) w^2 / (w^2 + s^2). A swing
// count is the torque that gives it, M theta_0 / (4 N + 1) for small swings, and tells the hammer centre alone.
TEST(AsFound, FrictionsReadByThemselvesAreLeanedOn) {
  CaseDescription d = typical();
  const auto put = [&](const char* key, double value, double sigma, case_file::Dimension dimension) {
    case_file::Quantity q;
    q.value = value;
    q.sigma = sigma;
    q.knowledge = case_file::Knowledge::kMeasured;
    q.dimension = dimension;
    d.quantities[key] = q;
  };
  put("measured.lever_knuckle_drag", 0.06, 0.03, case_file::Dimension::kNumber);
  put("measured.key_friction", 3 * kGf, 0.5 * kGf, case_file::Dimension::kWeight);
  put("measured.hammer_swings", 4, 0.5, case_file::Dimension::kNumber);
  const Conditioned c = condition_case(d);
  ASSERT_TRUE(c.as_found.conditioned);
  EXPECT_EQ(c.description.told.size(), 3u);
  const auto told = [](double m, double w, double y, double s) {
    return m + (y - m) * w * w / (w * w + s * s);
  };
  const auto& mu = d.quantity("contact.lever_knuckle.friction");
  EXPECT_NEAR(c.description.value("contact.lever_knuckle.friction"), told(mu.value, mu.sigma, 0.06, 0.03),
              1e-9);
  const auto& b = d.quantity("friction.key_balance");
  const auto& f = d.quantity("friction.key_front");
  EXPECT_NEAR(c.description.value("friction.key_balance") + c.description.value("friction.key_front"),
              told(b.value + f.value, std::hypot(b.sigma, f.sigma), 3 * kGf, 0.5 * kGf), 1e-9);
  const auto& h = d.quantity("friction.hammer_centre");
  const double moment = d.value("measured.strike_weight") * d.value("measured.hammer_length");
  const double y = torque_of_swings(4, moment, kUsualRelease);
  const double s =
      0.5 * (torque_of_swings(3.5, moment, kUsualRelease) - torque_of_swings(4.5, moment, kUsualRelease));
  const double found = c.description.value("friction.hammer_centre");
  if (std::abs(y - h.value) < kDisbelieved * std::hypot(s, h.sigma)) {
    EXPECT_NEAR(found, std::max(0.05 * h.value, told(h.value, h.sigma, y, s)), 1e-9);
  }
  // What nobody read stays.
  EXPECT_EQ(c.description.value("contact.capstan_heel.friction"), d.value("contact.capstan_heel.friction"));
}

TEST(AsFound, SameBitsForAnyNumberOfThreads) {
  CaseDescription d = typical();
  read_as(d, "measured.down_weight", 56 * kGf, 1.5 * kGf);
  read_as(d, "measured.up_weight", 22 * kGf, 1.5 * kGf);
  ConditionOptions one, two;
  one.threads = 1;
  two.threads = 2;
  const auto a = condition_case(d, one).description, b = condition_case(d, two).description;
  for (const auto& [key, q] : a.quantities) EXPECT_EQ(q.value, b.value(key)) << key;
}

}  // namespace
}  // namespace leverwright::calibrate

#include "models/keyboard/bands.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <limits>

namespace leverwright::keyboard {

using Eigen::Index;
using Eigen::Matrix2d;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;
using study::Measures;

namespace {

constexpr std::size_t kAll = study::kMeasureCount;

// P^(1/2) = I - V (I - L) V^T, so G P G^T = (G P^(1/2)) (G P^(1/2))^T. `g`: measures x inputs.
MatrixXd told(const MatrixXd& g, const Lean& lean) {
  MatrixXd out = g;
  for (std::size_t d = 0; d < lean.left.size(); ++d) {
    const Eigen::Map<const VectorXd> v(lean.v[d].data(), static_cast<Index>(lean.v[d].size()));
    out -= (1 - lean.left[d]) * (g * v) * v.transpose();
  }
  return out;
}

}  // namespace

Bands find_bands(const Effects& effects, const Lean& lean) {
  const auto n = static_cast<Index>(effects.inputs().size());
  Bands out;
  std::array<std::vector<double>, kAll> share;
  std::array<double, kAll> all{}, from_drags{};
  for (auto& s : share) s.assign(effects.inputs().size(), 0);
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    MatrixXd shared = MatrixXd::Zero(kAll, n), own = MatrixXd::Zero(kAll, n);
    for (Index i = 0; i < n; ++i) {
      const auto at = static_cast<std::size_t>(i);
      const Measures m = effects.of(at, note);
      (effects.is_carried(at) ? own : shared).col(i) = Eigen::Map<const VectorXd>(m.data(), kAll);
    }
    const std::vector<Measures> drags = effects.drags(note);
    MatrixXd drag(kAll, static_cast<Index>(drags.size()));
    for (std::size_t g = 0; g < drags.size(); ++g)
      drag.col(static_cast<Index>(g)) = lean.scatter * Eigen::Map<const VectorXd>(drags[g].data(), kAll);
    shared = told(shared, lean);
    // Where the note's own weights were read: what they take off. Down and up weight, and what is made of
    // them.
    const Matrix2d follows = lean.own[static_cast<std::size_t>(note - 1)].follows;
    Matrix2d left_own = Matrix2d::Zero(), left_drag = Matrix2d::Zero();
    if (!follows.isZero()) {
      const Matrix2d keep = Matrix2d::Identity() - follows;
      shared.topRows(2) = keep * shared.topRows(2);
      left_own = keep * own.topRows(2) * own.topRows(2).transpose();
      left_drag = keep * drag.topRows(2) * drag.topRows(2).transpose();
      for (const auto& [q, a, b] :
           {std::tuple{study::kBalanceWeight, 0.5, 0.5}, std::tuple{study::kFriction, 0.5, -0.5}})
        shared.row(q) = a * shared.row(0) + b * shared.row(1);
    }
    const auto variance = [&](const MatrixXd& m, const Matrix2d& left, std::size_t q) {
      if (follows.isZero()) return m.row(static_cast<Index>(q)).squaredNorm();
      const Vector2d weight = q == study::kDownWeight      ? Vector2d(1, 0)
                              : q == study::kUpWeight      ? Vector2d(0, 1)
                              : q == study::kBalanceWeight ? Vector2d(0.5, 0.5)
                              : q == study::kFriction      ? Vector2d(0.5, -0.5)
                                                           : Vector2d(0, 0);
      if (weight.isZero()) return m.row(static_cast<Index>(q)).squaredNorm();
      return std::max(0.0, weight.dot(left * weight));
    };
    Measures carried{}, total{}, scatter{};
    for (std::size_t q = 0; q < kAll; ++q) {
      const double from_shared = shared.row(static_cast<Index>(q)).squaredNorm();
      const double of_own = variance(own, left_own, q), of_drags = variance(drag, left_drag, q);
      carried[q] = std::sqrt(of_own);
      scatter[q] = std::sqrt(of_drags);
      total[q] = std::sqrt(from_shared + of_own + of_drags);
      if (!follows.isZero()) continue;  // shares are told of notes nobody weighed
      for (Index i = 0; i < n; ++i)
        share[q][static_cast<std::size_t>(i)] +=
            std::pow(shared(static_cast<Index>(q), i), 2) + std::pow(own(static_cast<Index>(q), i), 2);
      from_drags[q] += of_drags;
      all[q] += total[q] * total[q];
    }
    out.carried.push_back(carried);
    out.scatter.push_back(scatter);
    out.total.push_back(total);
  }
  for (std::size_t q = 0; q < kAll; ++q) {
    if (!(all[q] > 0)) continue;
    const auto most = std::max_element(share[q].begin(), share[q].end());
    const bool drags = from_drags[q] > *most;
    out.dominant[q] = drags ? "drags that differ from note to note"
                            : effects.inputs()[static_cast<std::size_t>(most - share[q].begin())].name;
    out.dominant_share[q] = (drags ? from_drags[q] : *most) / all[q];
  }
  return out;
}

std::vector<SampleCheck> check_samples(const Keyboard& k) {
  std::vector<SampleCheck> out;
  const Course* found = k.find(CourseKind::kAsFound);
  for (const auto& [key, measure] : {std::pair{"measured.down_weight", study::kDownWeight},
                                     std::pair{"measured.up_weight", study::kUpWeight}}) {
    const SampleColumn* column = k.input.find(key);
    if (column == nullptr || found == nullptr) continue;
    for (const Sample& s : column->samples) {
      const auto at = static_cast<std::size_t>(s.note - 1);
      const double model = found->measures[at][measure];
      if (!std::isfinite(model)) continue;
      out.push_back({s.note, measure, s.value, s.sigma, model, k.bands ? k.bands->total[at][measure] : 0});
    }
  }
  return out;
}

}  // namespace leverwright::keyboard

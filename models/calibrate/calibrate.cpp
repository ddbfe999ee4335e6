#include "models/calibrate/calibrate.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "models/calibrate/drag_scatter.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

struct Candidate {
  std::string words;
  VectorXd gradient;
  double error = 0;
};

Index find(const std::vector<Unknown>& u, const std::string& key) {
  for (std::size_t i = 0; i < u.size(); ++i)
    if (u[i].key == key) return static_cast<Index>(i);
  return -1;
}

// Measurements a bench can make besides, each with its usual error.
std::vector<Candidate> list_candidates(NoteModel& model, const VectorXd& p) {
  const auto& u = model.unknowns();
  const Index n = static_cast<Index>(u.size());
  std::vector<Candidate> out;
  const auto direct = [&](const char* key, const std::string& words, double error) {
    const Index i = find(u, key);
    if (i < 0) return;
    out.push_back({words, VectorXd::Unit(n, i), error});
  };
  const double gauge = 0.5 * base::kGramForce * 0.023;
  direct("friction.hammer_centre", "a gauge reading, or a swing count, of the hammer centre", gauge);
  direct("friction.wippen_centre", "a gauge reading of the wippen centre", gauge);
  direct("friction.jack_centre", "a gauge reading of the jack centre", gauge);
  direct("friction.lever_centre", "a gauge reading of the repetition lever's centre", gauge);
  direct("contact.capstan_heel.friction",
         "a capstan drawn along the heel cloth of a loose wippen under a known weight (+- 0.03 in the "
         "coefficient)",
         0.03);
  direct("contact.jack_knuckle.friction",
         "a loose jack drawn along the knuckle under a known weight (+- 0.03 in the coefficient)", 0.03);
  direct("contact.lever_knuckle.friction",
         "a loose repetition lever drawn along the knuckle under a known weight (+- 0.03 in the coefficient)",
         0.03);
  const Index balance = find(u, "friction.key_balance"), front = find(u, "friction.key_front");
  if (balance >= 0 && front >= 0) {
    out.push_back({"the friction of the key alone, stack off",
                   VectorXd::Unit(n, balance) + VectorXd::Unit(n, front), base::kGramForce});
    out.push_back({"the friction of the key alone with the front pin turned free", VectorXd::Unit(n, balance),
                   base::kGramForce});
  }
  const double error = 1.5 / std::sqrt(2.0) * base::kGramForce;
  out.push_back(
      {"down and up weight of this note once more with 15 gf hung on the wippen over its heel (loads the "
       "capstan, not the knuckle)",
       model.friction_gradient(0, p, "measured.wippen_weight", 15 * base::kGramForce), error});
  out.push_back({"down and up weight of this note once more with a clip of 4 gf on the hammer",
                 model.friction_gradient(0, p, "measured.strike_weight", 4 * base::kGramForce), error});
  return out;
}

std::string combination(const std::vector<Unknown>& u, const VectorXd& v) {
  std::vector<Index> order(static_cast<std::size_t>(v.size()));
  std::iota(order.begin(), order.end(), Index{0});
  std::sort(order.begin(), order.end(), [&](Index a, Index b) { return std::abs(v[a]) > std::abs(v[b]); });
  const double sign = v[order[0]] > 0 ? 1 : -1;
  std::string out;
  int named = 0;
  for (const Index i : order) {
    if (std::abs(v[i]) < 0.35 || named == 3) break;
    out += fmt::format("{}{} {}", named ? ", " : "", u[static_cast<std::size_t>(i)].name,
                       sign * v[i] > 0 ? "up" : "down");
    ++named;
  }
  return named == 1 ? out.substr(0, out.rfind(' ')) + " by itself" : out + " together";
}

// Effects of drags that differ from note to note, readings x (note, kind of drag).
MatrixXd find_scatter_columns(NoteModel& model, const std::vector<Datum>& data) {
  const auto& u = model.unknowns();
  const VectorXd p = model.prior_means();
  model.predict(data, p);
  const MatrixXd j = model.differentiate(data, p);
  std::map<std::pair<std::string, std::string>, VectorXd> columns;  // by note and kind
  for (std::size_t i = 0; i < u.size(); ++i) {
    if (!u[i].note.empty() || !u[i].is_friction) continue;
    const bool knuckle = u[i].key.find("_knuckle.") != std::string::npos;
    for (std::size_t k = 0; k < data.size(); ++k) {
      const auto row = static_cast<Index>(k);
      const double effect = kUsualScatter * u[i].mean * j(row, static_cast<Index>(i));
      if (effect == 0) continue;
      VectorXd& column = columns[{model.rows()[data[k].row].note, knuckle ? "knuckle" : u[i].key}];
      if (column.size() == 0) column = VectorXd::Zero(j.rows());
      column[row] += effect;
    }
  }
  MatrixXd out(j.rows(), static_cast<Index>(columns.size()));
  Index at = 0;
  for (const auto& [key, column] : columns) out.col(at++) = column;
  return out;
}

// Unknowns from their own parts and what they have in common (calibrate.h): p = T (own, c).
MatrixXd together(const std::vector<Unknown>& u) {
  const auto n = static_cast<Index>(u.size());
  MatrixXd out = MatrixXd::Zero(n, n + 1);
  out.leftCols(n).setIdentity();
  for (Index i = 0; i < n; ++i) {
    const Unknown& one = u[static_cast<std::size_t>(i)];
    if (one.is_friction && one.is_estimate) out(i, n) = one.mean;
  }
  return out;
}

// No friction falls below a twentieth of its usual value.
VectorXd joined(const MatrixXd& t, const std::vector<Unknown>& u, const VectorXd& parts) {
  VectorXd out = t * parts;
  for (std::size_t i = 0; i < u.size(); ++i) {
    double& p = out[static_cast<Index>(i)];
    if (t(static_cast<Index>(i), t.cols() - 1) > 0) p = std::max(p, 0.05 * u[i].mean);
  }
  return out;
}

}  // namespace

std::vector<Direction> find_weak_directions(const MatrixXd& j, const MatrixXd& g, const VectorXd& s,
                                            const MatrixXd& root) {
  MatrixXd c = s.array().square().matrix().asDiagonal();
  if (g.cols() > 0) c += g * g.transpose();
  const MatrixXd scaled = j * root;
  const MatrixXd information = scaled.transpose() * c.ldlt().solve(scaled);
  const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(information);
  std::vector<Direction> out;
  for (Index i = 0; i < root.cols(); ++i)
    if (eigen.eigenvalues()[i] < kWeak)
      out.push_back({std::max(0.0, eigen.eigenvalues()[i]), eigen.eigenvectors().col(i)});
  return out;
}

Calibration calibrate(const case_file::CaseDescription& d, std::vector<NoteRow> rows,
                      const std::function<bool(const Doing&)>& progress,
                      const std::vector<Column>* known_columns) {
  Calibration out;
  out.rows = rows;
  out.unknowns = find_unknowns(d, rows);
  out.data = list_data(rows, true);
  if (out.data.empty() && !rows.empty()) {
    const auto& place = rows.front().place;
    throw base::UserError(
        {base::Problem{place.file, place.line, place.line_text,
                       "no reading is entered yet: the lines from here on are blank",
                       "at least one reading, such as under down_weight [gf] or up_weight [gf]",
                       "weigh the sample notes, type what you read under the headings and run this again"}});
  }
  NoteModel model(d, std::move(rows), out.unknowns);
  const Index m = static_cast<Index>(out.data.size()), n = static_cast<Index>(out.unknowns.size());
  std::vector<std::string> skip;
  for (const auto& u : out.unknowns) skip.push_back(u.key);

  FitProblem problem;
  for (const auto& u : out.unknowns) problem.parameters.push_back({u.name, u.mean, u.sigma, u.low, u.high});
  problem.parameters.push_back({"all frictions together", 0, kTogether});
  const MatrixXd t = together(out.unknowns);
  problem.y = problem.s = VectorXd::Zero(m);
  for (Index j = 0; j < m; ++j) {
    problem.y[j] = out.data[static_cast<std::size_t>(j)].value();
    problem.s[j] = out.data[static_cast<std::size_t>(j)].sigma();
  }
  const auto tell = [&](const char* what, double share) { return !progress || progress({what, share}); };
  const auto columns =
      known_columns ? *known_columns : find_columns(d, out.rows, out.data, skip, [&](double share) {
        return tell("other inputs", 0.6 * share);
      });
  const MatrixXd scatter = find_scatter_columns(model, out.data);
  problem.nuisance = MatrixXd::Zero(m, static_cast<Index>(columns.size()) + scatter.cols());
  problem.nuisance.rightCols(scatter.cols()) = scatter;
  for (std::size_t k = 0; k < columns.size(); ++k)
    problem.nuisance.col(static_cast<Index>(k)) = columns[k].effect;
  out.nuisance = columns.size();
  bool first = true;
  problem.predict = [&](const VectorXd& parts) {
    VectorXd f = model.predict(out.data, joined(t, out.unknowns, parts));
    if (first)
      out.before_rms =
          std::sqrt(((problem.y - f).cwiseQuotient(problem.s)).squaredNorm() / static_cast<double>(m));
    first = false;
    return f;
  };
  problem.differentiate = [&](const VectorXd& parts) -> MatrixXd {
    return model.differentiate(out.data, joined(t, out.unknowns, parts)) * t;
  };
  problem.progress = [&](double share) { return tell("fitting", 0.6 + 0.35 * share); };
  out.fit = fit(problem);
  out.fit.p = joined(t, out.unknowns, out.fit.p);
  out.fit.covariance = MatrixXd(t * out.fit.covariance * t.transpose());
  out.fit.jacobian = MatrixXd(out.fit.jacobian.leftCols(n));
  out.fitted.resize(m);
  for (Index j = 0; j < m; ++j)
    out.fitted[j] = from_fit(out.data[static_cast<std::size_t>(j)].reading.kind, out.fit.fitted[j]);
  out.stopped = !out.fit.settled && progress && !progress({"fitted", 0.95});
  out.after_rms = std::sqrt(out.fit.residual.squaredNorm() / static_cast<double>(m));

  VectorXd w(n + 1);
  for (Index i = 0; i < n; ++i) w[i] = out.unknowns[static_cast<std::size_t>(i)].sigma;
  w[n] = kTogether;
  const MatrixXd before = t * w.array().square().matrix().asDiagonal() * t.transpose();
  const MatrixXd root = Eigen::SelfAdjointEigenSolver<MatrixXd>(before).operatorSqrt();
  for (Index i = 0; i < n; ++i) {
    out.unknowns[static_cast<std::size_t>(i)].sigma = std::sqrt(before(i, i));
    out.told.push_back(std::max(0.0, 1 - out.fit.covariance(i, i) / before(i, i)));
  }
  const auto candidates = list_candidates(model, out.fit.p);
  // `along` w: the combination's value is sum along_i p_i.
  const auto add = [&](Weak::Kind kind, const std::string& words, const VectorXd& along, double left) {
    Weak weak;
    weak.kind = kind;
    weak.words = words;
    weak.variance_left = left;
    const double variance = along.dot(out.fit.covariance * along);
    double best = 0;
    for (const Candidate& c : candidates) {
      const VectorXd cg = out.fit.covariance * c.gradient;
      const double taken = std::pow(along.dot(cg), 2) / (c.error * c.error + c.gradient.dot(cg)) / variance;
      if (taken > best) {
        best = taken;
        weak.remedy = c.words;
      }
    }
    weak.variance_then = 1 - best;
    if (best < 0.1) weak.remedy.clear();
    out.weak.push_back(weak);
  };
  for (Index i = 0; i < n; ++i)
    if (out.told[static_cast<std::size_t>(i)] < kHardlyTold)
      add(Weak::Kind::kUnknown, out.unknowns[static_cast<std::size_t>(i)].name, VectorXd::Unit(n, i),
          1 - out.told[static_cast<std::size_t>(i)]);
  for (Index i = 0; i < n; ++i)
    for (Index k = i + 1; k < n; ++k) {
      const MatrixXd& c = out.fit.covariance;
      const double correlation = c(i, k) / std::sqrt(c(i, i) * c(k, k));
      if (std::abs(correlation) < kTrading) continue;
      VectorXd along =
          VectorXd::Zero(n);  // the difference (or sum) that is least known, each in its own sigma
      along[i] = 1 / std::sqrt(c(i, i));
      along[k] = (correlation > 0 ? 1 : -1) / std::sqrt(c(k, k));
      add(Weak::Kind::kPair,
          fmt::format("{} and {}", out.unknowns[static_cast<std::size_t>(i)].name,
                      out.unknowns[static_cast<std::size_t>(k)].name),
          along, std::abs(correlation));
    }
  for (const Direction& direction : find_weak_directions(out.fit.jacobian, problem.nuisance, problem.s, root))
    add(Weak::Kind::kDirection, combination(out.unknowns, direction.v), root.llt().solve(direction.v),
        1 / (1 + direction.eigenvalue));
  for (Index j = 0; j < m; ++j) {
    if (std::abs(out.fit.residual[j]) < kOutlier) continue;
    const Datum& datum = out.data[static_cast<std::size_t>(j)];
    const NoteRow& row = out.rows[datum.row];
    const KindInfo& info = info_of(datum.reading.kind);
    out.outliers.push_back(
        fmt::format("{}:{}: {}, {}: {} read {:.{}f} {}, the rest says {:.{}f} ({:.1f} standard deviations): "
                    "read it again",
                    row.place.file, row.place.line, row.note, d.set_ups[row.set_up].name, info.name,
                    datum.reading.value * info.display_factor, info.decimals, info.display_unit,
                    out.fitted[j] * info.display_factor, info.decimals, out.fit.residual[j]));
  }
  return out;
}

}  // namespace leverwright::calibrate

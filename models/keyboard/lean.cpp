#include "models/keyboard/lean.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <optional>

#include "models/calibrate/as_found.h"
#include "models/study/set_up_solver.h"
#include "sim/base/error.h"

namespace leverwright::keyboard {

using case_file::CaseDescription;
using Eigen::Index;
using Eigen::Matrix2d;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;
using study::Measures;

namespace {

constexpr int kScatterSteps = 24;

struct Weighed {
  int note = 0;
  std::vector<int> which;  // 0: down weight, 1: up weight
  VectorXd y, s;
};

std::vector<Weighed> find_weighed(const Keyboard& k) {
  const SampleColumn* columns[] = {k.input.find("measured.down_weight"), k.input.find("measured.up_weight")};
  std::vector<Weighed> out;
  for (const int note : k.input.sampled) {
    Weighed w;
    w.note = note;
    std::vector<double> y, s;
    for (int q = 0; q < 2; ++q)
      if (columns[q] != nullptr)
        for (const Sample& one : columns[q]->samples)
          if (one.note == note) {
            w.which.push_back(q);
            y.push_back(one.value);
            s.push_back(one.sigma);
          }
    if (y.empty()) continue;
    w.y = Eigen::Map<VectorXd>(y.data(), static_cast<Index>(y.size()));
    w.s = Eigen::Map<VectorXd>(s.data(), static_cast<Index>(s.size()));
    out.push_back(std::move(w));
  }
  return out;
}

Vector2d weights_of(const Measures& m) { return {m[study::kDownWeight], m[study::kUpWeight]}; }

VectorXd pick(const Vector2d& both, const std::vector<int>& which) {
  VectorXd out(static_cast<Index>(which.size()));
  for (std::size_t j = 0; j < which.size(); ++j) out[static_cast<Index>(j)] = both[which[j]];
  return out;
}

MatrixXd picker(const std::vector<int>& which) {
  MatrixXd h = MatrixXd::Zero(static_cast<Index>(which.size()), 2);
  for (std::size_t j = 0; j < which.size(); ++j) h(static_cast<Index>(j), which[j]) = 1;
  return h;
}

// What the model weighs on each of the notes, once and again with the shared values moved; not finite where it
// cannot. The key level of the first time stays, as it does wherever values are moved.
class NoteScale {
 public:
  NoteScale(const CaseDescription& base, const Keyboard& k, const std::vector<Weighed>& notes, Work& work)
      : k_(k), notes_(notes), work_(work), solver_(notes.size()) {
    work_.run("readings of the samples", notes_.size(), [&](std::size_t j) {
      try {
        solver_[j] = study::SetUpSolver(describe_note(base, k_.input, k_.carried, notes_[j].note));
      } catch (const base::UserError&) {
      }
    });
  }
  std::vector<Vector2d> weigh(const CaseDescription& values) {
    std::vector<Vector2d> out(notes_.size(), Vector2d::Constant(NAN));
    work_.run("readings of the samples", notes_.size(), [&](std::size_t j) {
      const CaseDescription d = describe_note(values, k_.input, k_.carried, notes_[j].note);
      if (solver_[j]) out[j] = weights_of(solver_[j]->measure(d, 0, {}));
    });
    return out;
  }
  void leave_out(std::size_t j) { solver_.erase(solver_.begin() + static_cast<std::ptrdiff_t>(j)); }

 private:
  const Keyboard& k_;
  const std::vector<Weighed>& notes_;
  Work& work_;
  std::vector<std::optional<study::SetUpSolver>> solver_;
};

// All readings one under the other.
struct Stacked {
  MatrixXd g;          // readings x inputs, shared ones only
  MatrixXd own, drag;  // blocks by note: H O H^T + s^2, H S H^T
};

Stacked stack(const Effects& effects, const std::vector<Weighed>& notes) {
  Index rows = 0;
  for (const Weighed& w : notes) rows += w.y.size();
  const auto n = static_cast<Index>(effects.inputs().size());
  Stacked out{MatrixXd::Zero(rows, n), MatrixXd::Zero(rows, rows), MatrixXd::Zero(rows, rows)};
  Index at = 0;
  for (const Weighed& w : notes) {
    const Index m = w.y.size();
    const MatrixXd h = picker(w.which);
    for (Index i = 0; i < n; ++i)
      if (!effects.is_carried(static_cast<std::size_t>(i)))
        out.g.block(at, i, m, 1) = h * weights_of(effects.of(static_cast<std::size_t>(i), w.note));
    out.own.block(at, at, m, m) = h * carried_covariance(effects, w.note) * h.transpose();
    out.own.block(at, at, m, m).diagonal() += w.s.cwiseAbs2();
    out.drag.block(at, at, m, m) = h * drag_covariance(effects, w.note) * h.transpose();
    at += m;
  }
  return out;
}

double find_scatter(const Stacked& s, const VectorXd& r) {
  double most = -1e300, sum = 0, squares = 0;
  std::vector<double> log_likelihood, tau;
  for (int step = 0; step < kScatterSteps; ++step) {
    const double t = calibrate::kLeastScatter +
                     (calibrate::kMostScatter - calibrate::kLeastScatter) * (step + 0.5) / kScatterSteps;
    const Eigen::LLT<MatrixXd> llt(s.g * s.g.transpose() + s.own + t * t * s.drag);
    const MatrixXd l = llt.matrixL();
    log_likelihood.push_back(-0.5 * llt.matrixL().solve(r).squaredNorm() - l.diagonal().array().log().sum());
    tau.push_back(t);
    most = std::max(most, log_likelihood.back());
  }
  for (std::size_t i = 0; i < tau.size(); ++i) {
    const double weight = std::exp(log_likelihood[i] - most);
    sum += weight;
    squares += weight * tau[i] * tau[i];
  }
  return std::sqrt(squares / sum);
}

}  // namespace

Matrix2d carried_covariance(const Effects& effects, int note) {
  Matrix2d out = Matrix2d::Zero();
  for (std::size_t i = 0; i < effects.inputs().size(); ++i) {
    if (!effects.is_carried(i)) continue;
    const Vector2d one = weights_of(effects.of(i, note));
    out += one * one.transpose();
  }
  return out;
}

Matrix2d drag_covariance(const Effects& effects, int note) {
  Matrix2d out = Matrix2d::Zero();
  for (const Measures& m : effects.drags(note)) {
    const Vector2d one = weights_of(m);
    out += one * one.transpose();
  }
  return out;
}

Lean lean_on_samples(const CaseDescription& base, const Keyboard& k, const Effects& effects, bool prior_only,
                     Work& work) {
  Lean out;
  out.values = base;
  out.own.assign(kNoteCount, {});
  std::vector<Weighed> notes = find_weighed(k);
  if (notes.empty()) {
    out.sentences.emplace_back(
        "No down or up weight stands on the sheet: frictions rest on estimates. Weigh the sample notes.");
    return out;
  }
  if (prior_only) {
    out.sentences.emplace_back(
        "Nothing is conditioned on the samples' weights: frictions rest on estimates.");
    return out;
  }
  NoteScale scale(base, k, notes, work);
  std::vector<Vector2d> found = scale.weigh(base);
  for (std::size_t j = notes.size(); j-- > 0;)
    if (!found[j].allFinite()) {
      out.sentences.push_back(fmt::format("{} cannot be weighed by the model: its readings take no part.",
                                          note_name(notes[j].note)));
      notes.erase(notes.begin() + static_cast<std::ptrdiff_t>(j));
      found.erase(found.begin() + static_cast<std::ptrdiff_t>(j));
      scale.leave_out(j);
    }
  if (notes.empty() || work.stopped()) return out;
  const Stacked stacked = stack(effects, notes);
  const auto n = static_cast<Index>(effects.inputs().size());
  VectorXd x = VectorXd::Zero(n);
  calibrate::LinearPosterior p;
  const auto residual = [&](const std::vector<Vector2d>& weights) {
    VectorXd r(stacked.g.rows());
    Index at = 0;
    for (std::size_t j = 0; j < notes.size(); ++j) {
      r.segment(at, notes[j].y.size()) = notes[j].y - pick(weights[j], notes[j].which);
      at += notes[j].y.size();
    }
    return r;
  };
  for (int round = 0; round < calibrate::kRounds; ++round) {
    const VectorXd r = residual(found) + stacked.g * x;
    out.scatter = find_scatter(stacked, r);
    p = calibrate::find_posterior(stacked.g, stacked.own + out.scatter * out.scatter * stacked.drag, r);
    VectorXd next = p.x;
    const CaseDescription moved = calibrate::moved_to(base, effects.inputs(), next);
    const auto there = scale.weigh(moved);
    if (work.stopped()) return out;
    if (!std::all_of(there.begin(), there.end(), [](const Vector2d& w) { return w.allFinite(); })) break;
    x = next;
    found = there;
    out.values = moved;
    out.leaned = true;
  }
  if (!out.leaned) {
    out.sentences.emplace_back(
        "The values that the samples' weights ask for cannot be weighed: nothing is conditioned on them.");
    out.scatter = calibrate::kUsualScatter;
    return out;
  }
  out.x.assign(x.data(), x.data() + x.size());
  for (Index d = 0; d < p.left.size(); ++d) {
    out.left.push_back(p.left[d]);
    out.v.emplace_back(p.v.col(d).data(), p.v.col(d).data() + n);
  }
  for (std::size_t j = 0; j < notes.size(); ++j) {
    const Weighed& w = notes[j];
    const MatrixXd h = picker(w.which);
    const Matrix2d a =
        carried_covariance(effects, w.note) + out.scatter * out.scatter * drag_covariance(effects, w.note);
    const MatrixXd c = h * a * h.transpose() + MatrixXd(w.s.cwiseAbs2().asDiagonal());
    const MatrixXd gain = a * h.transpose() * c.inverse();
    OwnDeviation& own = out.own[static_cast<std::size_t>(w.note - 1)];
    own.shift = gain * (w.y - pick(found[j], w.which));
    own.follows = gain * h;
    out.readings += static_cast<int>(w.y.size());
  }
  out.notes = static_cast<int>(notes.size());
  out.sentences.push_back(fmt::format(
      "What all notes share is conditioned on {} weights read on {} sample notes; a drag differs from note to "
      "note by {:.0f} % (estimate {:.0f} to {:.0f} %, weighed by the readings).",
      out.readings, out.notes, 100 * out.scatter, 100 * calibrate::kLeastScatter,
      100 * calibrate::kMostScatter));
  return out;
}

}  // namespace leverwright::keyboard

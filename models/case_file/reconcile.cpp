#include "models/case_file/reconcile.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <functional>

#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::case_file {

namespace {

using Unknowns = Eigen::Matrix<double, 7, 1>;
using base::Vec2;

constexpr double kSmallestSigma = 1e-7;  // m; stands in for "exact"
constexpr double kLargestSlip = 25e-3;   // m; nobody misreads a rule by more without noticing
constexpr const char* kPointNames[] = {"the wippen centre, along", "the wippen centre, in height",
                                       "the hammer centre, along", "the hammer centre, in height",
                                       "the capstan's top, along", "the capstan's top, in height",
                                       "the balance hole's height"};

struct Equation {
  std::string key;
  std::function<double(const Unknowns&)> value;
  std::function<Unknowns(const Unknowns&)> gradient;
};

Vec2 point(const Unknowns& u, int first) { return {u[first], u[first + 1]}; }

// A single entry of u, or the sum of two.
Equation sum_of(const std::string& key, int a, int b = -1) {
  return {key, [=](const Unknowns& u) { return b < 0 ? u[a] : u[a] + u[b]; },
          [=](const Unknowns&) {
            Unknowns g = Unknowns::Zero();
            g[a] = 1;
            if (b >= 0) g[b] = 1;
            return g;
          }};
}

std::vector<Equation> equations(double theta) {
  const Eigen::Rotation2Dd turn(theta);
  const Eigen::Matrix2d R = turn.toRotationMatrix();
  return {
      {"measured.spread", [](const Unknowns& u) { return (point(u, 0) - point(u, 2)).norm(); },
       [](const Unknowns& u) {
         const Vec2 e = (point(u, 0) - point(u, 2)).normalized();
         Unknowns g = Unknowns::Zero();
         g.segment<2>(0) = e;
         g.segment<2>(2) = -e;
         return g;
       }},
      sum_of("measured.wippen_centre_height", 1, 6),
      sum_of("measured.hammer_centre_height", 3, 6),
      sum_of("measured.balance_hole_height", 6),
      sum_of("measured.capstan_top_height", 5, 6),
      sum_of("measured.balance_hole_to_wippen_centre", 0),
      {"measured.key_rear_length", [](const Unknowns& u) { return point(u, 4).norm(); },
       [](const Unknowns& u) {
         Unknowns g = Unknowns::Zero();
         g.segment<2>(4) = point(u, 4).normalized();
         return g;
       }},
      {"measured.heel_contact_arm", [R](const Unknowns& u) { return (point(u, 0) - R * point(u, 4)).norm(); },
       [R](const Unknowns& u) {
         const Vec2 e = (point(u, 0) - R * point(u, 4)).normalized();
         Unknowns g = Unknowns::Zero();
         g.segment<2>(0) = e;
         g.segment<2>(4) = -(R.transpose() * e);
         return g;
       }},
  };
}

double given_or(const CaseDescription& d, const std::string& key, double otherwise) {
  return d.has(key) ? d.value(key) : otherwise;
}

// A start on the right branch: hammer centre on the player's side of the wippen centre, capstan in front of
// both.
Unknowns start(const CaseDescription& d) {
  Unknowns u;
  const double h = given_or(d, "measured.balance_hole_height", 0.035);
  u[6] = h;
  u[1] = given_or(d, "measured.wippen_centre_height", h + 0.06) - h;
  u[3] = given_or(d, "measured.hammer_centre_height", h + u[1] + 0.04) - h;
  u[5] = given_or(d, "measured.capstan_top_height", h + 0.035) - h;
  const double rear = given_or(d, "measured.key_rear_length", 0.135);
  u[4] = std::sqrt(std::max(rear * rear - u[5] * u[5], 1e-4));
  u[0] = given_or(d, "measured.balance_hole_to_wippen_centre",
                  u[4] + given_or(d, "measured.heel_contact_arm", 0.066));
  const double spread = given_or(d, "measured.spread", 0.1125), rise = u[3] - u[1];
  u[2] = u[0] - std::sqrt(std::max(spread * spread - rise * rise, 1e-4));
  return u;
}

base::Problem problem_at(const CaseDescription& d, const std::string& key, const std::string& what,
                         const std::string& expected, const std::string& advice) {
  const Origin& place = d.quantity(key).place;
  return {place.file, place.line, place.line_text, what, expected, advice};
}

double mm(double metres) { return metres / base::kMillimetre; }

// Lengths that cannot span the heights they must span, with five standard deviations of benefit.
void reject_impossible(const CaseDescription& d) {
  std::vector<base::Problem> problems;
  const auto check = [&](const std::string& length, const std::string& upper, const std::string& lower) {
    if (!d.has(length) || !d.has(upper) || !d.has(lower)) return;
    const double rise = std::abs(d.value(upper) - d.value(lower));
    const double benefit =
        5 * std::hypot(d.quantity(length).sigma, d.quantity(upper).sigma, d.quantity(lower).sigma);
    if (d.value(length) + benefit > rise) return;
    problems.push_back(problem_at(
        d, length,
        fmt::format(
            "impossible geometry: \"{}\" is {:.1f} mm, but \"{}\" and \"{}\" alone are {:.1f} mm apart",
            length, mm(d.value(length)), upper, lower, mm(rise)),
        "a length that spans its two heights", "measure the three again"));
  };
  check("measured.spread", "measured.hammer_centre_height", "measured.wippen_centre_height");
  check("measured.key_rear_length", "measured.capstan_top_height", "measured.balance_hole_height");
  if (!problems.empty()) throw base::UserError(problems);
}

struct Fit {
  Unknowns u;
  Eigen::MatrixXd J;
  Eigen::VectorXd r;  // weighted residuals
};

void evaluate(const std::vector<Equation>& rows, const Eigen::VectorXd& m, const Eigen::VectorXd& s,
              Fit& fit) {
  const Eigen::Index n = static_cast<Eigen::Index>(rows.size());
  fit.J.resize(n, 7);
  fit.r.resize(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Equation& row = rows[i];
    fit.r[i] = (m[i] - row.value(fit.u)) / s[i];
    fit.J.row(i) = row.gradient(fit.u).transpose() / s[i];
  }
}

Fit gauss_newton(const std::vector<Equation>& rows, const Eigen::VectorXd& m, const Eigen::VectorXd& s,
                 Unknowns u) {
  Fit fit{u, {}, {}};
  evaluate(rows, m, s, fit);
  for (int iteration = 0; iteration < 60; ++iteration) {
    const Eigen::VectorXd step = fit.J.completeOrthogonalDecomposition().solve(fit.r);
    Fit next = fit;
    double share = 1;
    for (; share > 1e-6; share /= 2) {
      next.u = fit.u + share * step;
      evaluate(rows, m, s, next);
      if (next.r.squaredNorm() <= fit.r.squaredNorm()) break;
    }
    if (share <= 1e-6) break;
    fit = next;
    if ((share * step).norm() < 1e-13) break;
  }
  return fit;
}

// Directions of u that no measurement sees, from unweighted rows so that scales do not matter.
Eigen::MatrixXd unseen(const std::vector<Equation>& rows, const Unknowns& u) {
  Eigen::MatrixXd G(static_cast<Eigen::Index>(rows.size()), 7);
  for (std::size_t i = 0; i < rows.size(); ++i)
    G.row(static_cast<Eigen::Index>(i)) = rows[i].gradient(u).transpose();
  Eigen::FullPivLU<Eigen::MatrixXd> lu(G);
  lu.setThreshold(1e-6);
  if (lu.dimensionOfKernel() == 0) return Eigen::MatrixXd(7, 0);
  return lu.kernel();
}

// Says which points float and which single further measurements would help.
[[noreturn]] void fail_undetermined(const CaseDescription& d, const std::vector<Equation>& used,
                                    const std::vector<Equation>& all, const Unknowns& u,
                                    const Eigen::MatrixXd& kernel) {
  std::vector<std::string> points, helps;
  for (int j = 0; j < 7; ++j)
    if (kernel.row(j).cwiseAbs().maxCoeff() > 1e-3 * kernel.cwiseAbs().maxCoeff())
      points.push_back(kPointNames[j]);
  for (const Equation& row : all) {
    if (d.has(row.key)) continue;
    std::vector<Equation> more = used;
    more.push_back(row);
    if (unseen(more, u).cols() < kernel.cols()) helps.push_back(row.key);
  }
  throw base::UserError(
      {{d.path, 0, "", fmt::format("the measurements do not fix {}", fmt::join(points, "; ")),
        kernel.cols() > 1 ? fmt::format("{} more measurements", kernel.cols()) : "one more measurement",
        fmt::format("measure {}{}", kernel.cols() > 1 ? "some of " : (helps.size() > 1 ? "one of " : ""),
                    fmt::join(helps, ", "))}});
}

std::vector<Misfit> misfits(const std::vector<Equation>& rows, const Eigen::VectorXd& m,
                            const Eigen::VectorXd& s, const Fit& fit, const Eigen::MatrixXd& covariance) {
  std::vector<Misfit> out;
  for (std::size_t k = 0; k < rows.size(); ++k) {
    const auto i = static_cast<Eigen::Index>(k);
    Misfit misfit;
    misfit.key = rows[k].key;
    misfit.measured = m[i];
    misfit.sigma = s[i];
    misfit.adjusted = m[i] - fit.r[i] * s[i];
    misfit.in_sigmas = fit.r[i];
    const double q = 1 - fit.J.row(i) * covariance * fit.J.row(i).transpose();
    if (q > 1e-6) {
      misfit.standardised = fit.r[i] / std::sqrt(q);
      misfit.would_be_wrong_by = fit.r[i] * s[i] / q;
    }
    out.push_back(misfit);
  }
  return out;
}

// Names the measurements that share the largest misfit; a warning, or an error when it is out of all reason.
void judge(const CaseDescription& d, ReconciledGeometry& g) {
  double worst = 0;
  for (const Misfit& m : g.measurements) worst = std::max(worst, std::abs(m.standardised));
  if (worst <= kMisfitWarning) return;
  std::vector<const Misfit*> sharing;
  for (const Misfit& m : g.measurements)
    if (std::abs(m.standardised) >= 0.98 * worst) sharing.push_back(&m);
  // The one that need be wrong by the least number of its own standard deviations comes first; slips beyond
  // kLargestSlip are not offered as explanations.
  const auto slip = [](const Misfit* m) { return std::abs(m->would_be_wrong_by) / m->sigma; };
  std::sort(sharing.begin(), sharing.end(),
            [&](const Misfit* a, const Misfit* b) { return slip(a) < slip(b); });
  std::vector<std::string> suspects;
  for (const Misfit* m : sharing)
    if (suspects.empty() || std::abs(m->would_be_wrong_by) < kLargestSlip)
      suspects.push_back(fmt::format("{} ({:.1f} mm too {})", m->key, mm(std::abs(m->would_be_wrong_by)),
                                     m->would_be_wrong_by > 0 ? "large" : "small"));
  const std::string first = sharing.front()->key;
  const std::string what = fmt::format(
      "measurements contradict each other by {:.1f} standard deviations; any one of these alone would "
      "explain it: {}",
      worst, fmt::join(suspects, ", "));
  if (worst > kMisfitError)
    throw base::UserError({problem_at(d, first, what, "measurements that agree within their uncertainties",
                                      "measure them again")});
  g.warnings.push_back(what + ". Measure them again before trusting the geometry.");
}

}  // namespace

double half_stroke_key_angle(const CaseDescription& d) {
  // Nothing given: common practice, a 10 mm dip. The angle acts on the heel arm in second order only.
  const double dip = given_or(d, "measured.dip", given_or(d, "regulation.dip", 0.010));
  const double aftertouch = given_or(d, "measured.aftertouch", given_or(d, "regulation.aftertouch", 0));
  return (dip - aftertouch) / 2 / d.value("measured.key_front_length");
}

bool is_reconciled(const std::string& key) {
  return std::find(kReconciled.begin(), kReconciled.end(), key) != kReconciled.end();
}

ReconciledGeometry reconcile(const CaseDescription& d) {
  reject_impossible(d);
  const std::vector<Equation> all = equations(half_stroke_key_angle(d));
  std::vector<Equation> rows;
  for (const Equation& row : all)
    if (d.has(row.key)) rows.push_back(row);
  const auto n = static_cast<Eigen::Index>(rows.size());
  Eigen::VectorXd m(n), s(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Quantity& q = d.quantity(rows[i].key);
    m[i] = q.value;
    s[i] = std::max(q.sigma, kSmallestSigma);
  }
  const Fit fit = gauss_newton(rows, m, s, start(d));
  const Eigen::MatrixXd kernel = unseen(rows, fit.u);
  if (kernel.cols() > 0) fail_undetermined(d, rows, all, fit.u, kernel);
  ReconciledGeometry g;
  g.p_WP = point(fit.u, 0);
  g.p_WH = point(fit.u, 2);
  g.p_WC = point(fit.u, 4);
  g.balance_hole_height = fit.u[6];
  g.covariance = (fit.J.transpose() * fit.J).inverse();
  g.redundancy = static_cast<int>(n) - 7;
  g.chi_squared = fit.r.squaredNorm();
  g.measurements = misfits(rows, m, s, fit, g.covariance);
  judge(d, g);
  return g;
}

}  // namespace leverwright::case_file

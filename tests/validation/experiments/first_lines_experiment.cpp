// Which lines of the bench sheet narrow the answer most: the order in models/workshop/first_lines.cpp.
//
//   build/tests/validation/experiments/first_lines_experiment [DRAWS] [SEED]      (from the project's root)
//
// Invented actions are drawn from the case in which nothing is measured (models/workshop/blank_case.toml): every
// estimate over its range, every invented part as widely as such parts differ. Each is regulated and weighed three
// times: as found (dip, blow, let-off and drop drawn over their usual ranges), to specification, and to specification
// with the capstan moved 3 mm toward the player. That gives the three answers
//
//   a_1 down weight after the move     a_2 change of down weight     a_3 friction at the capstan, before the move
//
// and what every line of the sheet would read, y_l, to which its usual error r_l is added. With C the covariances over
// the draws, the variance of answer j that the lines S leave is, for the best straight line through their readings,
//
//   v_j(S) = C_jj - C_jS (C_SS + diag r^2)^-1 C_Sj
//
// Lines are taken one after the other, each time the one that makes the mean over j of sqrt(v_j(S) / C_jj) smallest.
// The straight lines are found on the first half of the draws; what is printed is what they leave on the other half.
//
// Left out: lines 42 and 53, which check others; leads (64 on), which the front weight holds; swings; words; lines of
// the page of positions; what is to be regulated to, which is a wish and no reading.
#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <set>

#include "models/case_file/change_phrase.h"
#include "models/case_file/quantity.h"
#include "models/case_file/reconcile.h"
#include "models/remedies/all.h"
#include "models/remedies/read_case.h"
#include "models/study/counter_random.h"
#include "models/study/monte_carlo.h"
#include "models/study/set_up_solver.h"
#include "models/workshop/sheet_lines.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/units.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::validation {
namespace {

using case_file::CaseDescription;
using workshop::SheetLine;

constexpr int kAnswers = 3, kMost = 15;
constexpr double kLeastGain = 0.002;  // of the mean width

CaseDescription read_action() {
  const support::ScratchFolder folder;
  std::ifstream in(workshop::blank_case_path());
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  return remedies::read_case(folder.write(
      "blank.toml",
      text + "\n" + case_file::write_set_up_of({"capstan 3 mm toward the balance rail"}, remedies::all())));
}

struct Candidate {
  const SheetLine* line = nullptr;
  double error = 0;  // one standard deviation, SI
};

double usual_error(const SheetLine& l) {
  const auto read = case_file::read_quantity(workshop::usual_uncertainty(l), workshop::dimension_of(l));
  const auto* q = std::get_if<case_file::Quantity>(&read);
  return q == nullptr ? 0 : q->value;
}

std::vector<Candidate> find_candidates() {
  static const std::set<int> kChecks = {42, 53};
  std::vector<Candidate> out;
  for (const SheetLine& l : workshop::sheet_lines()) {
    const bool weighed = l.use == workshop::Use::kReading && l.key == "key_friction";
    const bool wish = l.key.rfind("regulation.", 0) == 0 || l.key.rfind("screws.", 0) == 0;
    if (l.supplement || wish || l.number < 10 || kChecks.count(l.number) > 0) continue;
    if (l.use == workshop::Use::kQuantity || weighed) out.push_back({&l, usual_error(l)});
  }
  return out;
}

// The screws as found, over the usual ranges of the sheet.
void draw_as_found(CaseDescription& d, std::uint64_t seed, std::uint64_t sample) {
  constexpr std::uint64_t kStream = 4100;
  for (const int number : {83, 84, 85, 86}) {
    const SheetLine& l = *workshop::find_line(number);
    const double share = study::counter_uniform(seed, kStream + static_cast<std::uint64_t>(number), sample);
    const double mm = std::max(l.low, 0.5) + share * (l.high - std::max(l.low, 0.5));
    d.quantities.at("regulation." + l.key.substr(l.key.find('.') + 1)).value = 1e-3 * mm;
  }
}

// What the line would read on this action; NaN when the action does not say.
double read_line(const SheetLine& l, const CaseDescription& d, const CaseDescription& found,
                 const study::Measures& as_found, const case_file::ReconciledGeometry& geometry) {
  if (l.key == "key_friction") return d.value("friction.key_balance") + d.value("friction.key_front");
  if (l.key == "measured.down_weight") return as_found[study::kDownWeight];
  if (l.key == "measured.up_weight") return as_found[study::kUpWeight];
  if (l.key == "measured.aftertouch") return as_found[study::kAftertouch];
  for (const char* name : {"dip", "blow", "let_off", "drop"})
    if (l.key == std::string("measured.") + name) return found.value(std::string("regulation.") + name);
  if (l.key == "measured.heel_contact_arm") {
    const double theta = case_file::half_stroke_key_angle(d);
    const base::Vec2 c = geometry.p_WC;
    const double x = std::cos(theta) * c.x() - std::sin(theta) * c.y(),
                 y = std::sin(theta) * c.x() + std::cos(theta) * c.y();
    return std::hypot(geometry.p_WP.x() - x, geometry.p_WP.y() - y);
  }
  for (const auto& m : geometry.measurements)
    if (m.key == l.key) return m.adjusted;
  const auto q = d.quantities.find(l.key);
  return q == d.quantities.end() ? std::nan("") : q->second.value;
}

struct Drawn {
  Eigen::MatrixXd lines, answers;  // [draw][...]
  int failed = 0;
};

Drawn draw_actions(int draws, std::uint64_t seed, const std::vector<Candidate>& candidates) {
  const CaseDescription d = read_action();
  const auto inputs = study::find_inputs(d);
  const study::SetUpSolver solver(d);
  std::vector<std::vector<double>> rows(static_cast<std::size_t>(draws));
  study::run_samples(draws, [&](int k) {
    const auto sample = static_cast<std::uint64_t>(k);
    CaseDescription one = d;
    for (const auto& in : inputs) one = study::move_input(one, in, study::draw(in, "", seed, sample));
    CaseDescription found = one;
    draw_as_found(found, seed, sample);
    try {
      const auto geometry = case_file::reconcile(one);
      const auto as_found = solver.measure(found, 0, {}), before = solver.measure(one, 0, {}),
                 after = solver.measure(one, 1, {});
      if (!std::isfinite(as_found[study::kUpWeight])) return study::SampleOutput{};
      std::vector<double> row = {after[study::kDownWeight],
                                 after[study::kDownWeight] - before[study::kDownWeight],
                                 before[study::kCapstanFriction]};
      for (const auto& c : candidates) row.push_back(read_line(*c.line, one, found, as_found, geometry));
      rows[static_cast<std::size_t>(k)] = row;
    } catch (const std::exception&) {  // such an action cannot be built
    }
    return study::SampleOutput{};
  });
  Drawn out;
  std::vector<const std::vector<double>*> good;
  for (const auto& row : rows) {
    bool whole = !row.empty();
    for (int j = 0; j < kAnswers && whole; ++j) whole = std::isfinite(row[static_cast<std::size_t>(j)]);
    if (whole) good.push_back(&row);
  }
  out.failed = draws - static_cast<int>(good.size());
  const auto n = static_cast<Eigen::Index>(good.size());
  out.answers.resize(n, kAnswers);
  out.lines.resize(n, static_cast<Eigen::Index>(candidates.size()));
  for (Eigen::Index k = 0; k < n; ++k) {
    const auto& row = *good[static_cast<std::size_t>(k)];
    for (Eigen::Index j = 0; j < kAnswers; ++j) out.answers(k, j) = row[static_cast<std::size_t>(j)];
    for (Eigen::Index l = 0; l < out.lines.cols(); ++l)
      out.lines(k, l) = row[static_cast<std::size_t>(kAnswers + l)];
  }
  return out;
}

// Widths the readings of `chosen` leave, as shares of what they were: the straight line of one half of the draws, its
// rest on the other (or on the same).
Eigen::Vector3d widths_left(const Drawn& drawn, const std::vector<Candidate>& candidates,
                            const std::vector<std::size_t>& chosen, bool held_out) {
  const Eigen::Index n = drawn.answers.rows() / 2, m = static_cast<Eigen::Index>(chosen.size());
  const auto centred = [](const Eigen::MatrixXd& x) -> Eigen::MatrixXd {
    return x.rowwise() - x.colwise().mean();
  };
  Eigen::MatrixXd y(drawn.lines.rows(), m);
  for (Eigen::Index s = 0; s < m; ++s)
    y.col(s) = drawn.lines.col(static_cast<Eigen::Index>(chosen[static_cast<std::size_t>(s)]));
  const Eigen::MatrixXd y1 = centred(y.topRows(n)), a1 = centred(drawn.answers.topRows(n));
  Eigen::MatrixXd c = y1.transpose() * y1 / static_cast<double>(n);
  Eigen::VectorXd r2(m);
  for (Eigen::Index s = 0; s < m; ++s) {
    const double r = candidates[chosen[static_cast<std::size_t>(s)]].error;
    r2(s) = r * r + 1e-12 * c(s, s);
  }
  c += Eigen::MatrixXd(r2.asDiagonal());
  // Scaled, so that metres stand beside newtons.
  const Eigen::VectorXd scale = c.diagonal().cwiseSqrt().cwiseInverse();
  const Eigen::MatrixXd scaled = scale.asDiagonal() * c * scale.asDiagonal();
  const Eigen::MatrixXd right = scale.asDiagonal() * (y1.transpose() * a1 / static_cast<double>(n));
  const Eigen::MatrixXd gain = scale.asDiagonal() * scaled.ldlt().solve(right);  // [line][answer]
  const Eigen::MatrixXd y2 = held_out ? centred(y.bottomRows(n)) : y1,
                        a2 = held_out ? centred(drawn.answers.bottomRows(n)) : a1;
  const Eigen::MatrixXd rest = a2 - y2 * gain;
  Eigen::Vector3d out;
  for (int j = 0; j < kAnswers; ++j) {
    const double errors = (gain.col(j).array().square() * r2.array()).sum();
    out(j) = std::sqrt((rest.col(j).squaredNorm() / static_cast<double>(n) + errors) /
                       (a2.col(j).squaredNorm() / static_cast<double>(n)));
  }
  return out;
}

int run(int draws, std::uint64_t seed) {
  std::vector<Candidate> candidates = find_candidates();
  Drawn drawn = draw_actions(draws, seed, candidates);
  // A line that is not a number on some action, or the same on all, tells nothing here.
  std::vector<bool> usable;
  for (Eigen::Index l = 0; l < drawn.lines.cols(); ++l) {
    const auto column = drawn.lines.col(l);
    usable.push_back(column.allFinite() && column.maxCoeff() > column.minCoeff());
    if (!usable.back())
      fmt::print("not used: line {} {}\n", candidates[static_cast<std::size_t>(l)].line->number,
                 candidates[static_cast<std::size_t>(l)].line->name);
  }
  fmt::print("{} actions drawn (seed {}), {} of them cannot be regulated and weighed.\n", draws, seed,
             drawn.failed);
  const Eigen::RowVectorXd mean = drawn.answers.colwise().mean();
  for (int j = 0; j < kAnswers; ++j)
    fmt::print("answer {}: mean {:.2f} gf, standard deviation {:.2f} gf\n", j + 1, mean(j) / base::kGramForce,
               std::sqrt((drawn.answers.col(j).array() - mean(j)).square().mean()) / base::kGramForce);
  fmt::print(
      "\n| | line | measurement | down weight after | its change | friction at the capstan | mean |\n"
      "|---|---|---|---|---|---|---|\n");
  std::vector<std::size_t> chosen;
  double left = 1;
  while (chosen.size() < static_cast<std::size_t>(kMost)) {
    std::size_t best = candidates.size();
    double least = left - kLeastGain;
    for (std::size_t l = 0; l < candidates.size(); ++l) {
      if (!usable[l] || std::find(chosen.begin(), chosen.end(), l) != chosen.end()) continue;
      auto with = chosen;
      with.push_back(l);
      const double mean_width = widths_left(drawn, candidates, with, false).mean();
      if (mean_width < least) least = mean_width, best = l;
    }
    if (best == candidates.size()) break;
    chosen.push_back(best);
    left = least;
    const Eigen::Vector3d w = widths_left(drawn, candidates, chosen, true);
    fmt::print("| {} | {} | {} | {:.0f} % | {:.0f} % | {:.0f} % | {:.0f} % |\n", chosen.size(),
               candidates[best].line->number, candidates[best].line->name, 100 * w(0), 100 * w(1), 100 * w(2),
               100 * w.mean());
  }
  std::vector<std::size_t> all;
  for (std::size_t l = 0; l < candidates.size(); ++l)
    if (usable[l]) all.push_back(l);
  const Eigen::Vector3d w = widths_left(drawn, candidates, all, true);
  fmt::print("| | | all {} lines | {:.0f} % | {:.0f} % | {:.0f} % | {:.0f} % |\n", all.size(), 100 * w(0),
             100 * w(1), 100 * w(2), 100 * w.mean());
  return 0;
}

}  // namespace
}  // namespace leverwright::validation

int main(int argc, char** argv) {
  const int draws = argc > 1 ? std::atoi(argv[1]) : 2400;
  const std::uint64_t seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 20260412;
  return leverwright::validation::run(draws, seed);
}

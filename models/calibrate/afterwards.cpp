#include "models/calibrate/afterwards.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "models/case/quantity.h"
#include "sim/base/error.h"
#include "sim/base/statistics.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {

using case_file::CaseDescription;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

double log_density(const MatrixXd& c, const VectorXd& r) {
  const Eigen::LLT<MatrixXd> llt(c);
  const MatrixXd l = llt.matrixL();
  return -0.5 * r.dot(llt.solve(r)) - l.diagonal().array().log().sum();
}

case_file::Dimension dimension_of(const CaseDescription& d, const study::Input& in) {
  switch (in.kind) {
    case study::Input::Kind::kLeadMass:
      return case_file::Dimension::kMass;
    case study::Input::Kind::kQuantity:
      return d.quantity(in.key).dimension;
    case study::Input::Kind::kChange:
      return d.set_ups[static_cast<std::size_t>(in.set_up)]
          .changes[static_cast<std::size_t>(in.change)]
          .quantities.at(in.key)
          .dimension;
    default:
      return case_file::Dimension::kLength;
  }
}

void name_unit(const CaseDescription& d, const study::Input& in, Hypothesis& h) {
  const auto dimension = dimension_of(d, in);
  double si = case_file::trade_unit_in_si(dimension);
  h.unit = case_file::trade_unit(dimension);
  if (dimension == case_file::Dimension::kTorque) {
    si = base::kGramForce * 0.023;
    h.unit = "gf at 23 mm";
  }
  h.unit_per_sigma = in.sigma / si;
}

// What a column blames, in words; `after`: it can only have come about by the work.
std::string words_of(const Column& c, bool& after) {
  const std::string& key = c.input.key;
  after = true;
  if (c.is_regulation) return c.input.name.substr(12) + " not regulated to specification";
  if (c.input.kind == study::Input::Kind::kChange) return c.input.name + " not as meant";
  if (key.rfind("contact.", 0) == 0 || key.rfind("friction.", 0) == 0)
    return c.input.name + " changed by the work (fresh cloth, other treatment)";
  after = false;
  return c.input.name + " was measured wrong";
}

std::vector<Hypothesis> list_hypotheses(const CaseDescription& d, const std::vector<Column>& columns,
                                        const std::vector<NoteRow>& rows, const std::vector<Datum>& data) {
  // Columns of one input belong together; by its place in the list.
  std::vector<std::vector<const Column*>> groups;
  for (const Column& c : columns) {
    const auto same = [&](const std::vector<const Column*>& g) {
      const study::Input &a = g.front()->input, &b = c.input;
      return a.kind == b.kind && a.key == b.key && a.set_up == b.set_up && a.change == b.change &&
             a.lead == b.lead;
    };
    const auto at = std::find_if(groups.begin(), groups.end(), same);
    if (at == groups.end())
      groups.push_back({&c});
    else
      at->push_back(&c);
  }
  const auto m = static_cast<Index>(data.size());
  const auto keep_after = [&](VectorXd v) {
    for (Index j = 0; j < m; ++j)
      if (rows[data[static_cast<std::size_t>(j)].row].set_up == 0) v[j] = 0;
    return v;
  };
  std::vector<Hypothesis> out;
  for (const auto& g : groups) {
    bool after = false;
    Hypothesis h;
    h.words = words_of(*g.front(), after);
    name_unit(d, g.front()->input, h);
    MatrixXd all(m, static_cast<Index>(g.size()));
    for (std::size_t k = 0; k < g.size(); ++k)
      all.col(static_cast<Index>(k)) = after ? keep_after(g[k]->effect) : g[k]->effect;
    if (all.norm() == 0) continue;
    h.h = all.rowwise().sum();
    out.push_back(h);
    if (g.size() > 1 && after) {
      h.words += ", scattered from note to note";
      h.h = all;
      out.push_back(h);
    }
  }
  // The bench itself.
  for (const Kind kind : {Kind::kDownWeight, Kind::kUpWeight}) {
    Hypothesis h;
    h.words = std::string("the ") + info_of(kind).name + "s were read wrong, all by the same";
    h.unit = "gf";
    h.h = MatrixXd::Zero(m, 1);
    for (Index j = 0; j < m; ++j)
      if (data[static_cast<std::size_t>(j)].reading.kind == kind) h.h(j, 0) = base::kGramForce;
    if (h.h.norm() > 0) out.push_back(h);
  }
  return out;
}

}  // namespace

std::vector<Cause> rank_causes(const MatrixXd& c, const VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses) {
  constexpr double w2 = kGross * kGross;
  std::vector<Cause> out;
  std::vector<double> log_weight;
  Cause none;
  none.words = "nothing beyond the stated uncertainties";
  none.shift = none.sigma = std::numeric_limits<double>::quiet_NaN();
  out.push_back(none);
  log_weight.push_back(log_density(c, r));
  for (const Hypothesis& h : hypotheses) {
    const MatrixXd wide = c + w2 * h.h * h.h.transpose();
    Cause cause;
    cause.words = h.words;
    cause.unit = h.unit;
    cause.shift = cause.sigma = std::numeric_limits<double>::quiet_NaN();
    if (h.h.cols() == 1) {
      const VectorXd solved = wide.llt().solve(h.h.col(0));
      cause.shift = w2 * solved.dot(r) * h.unit_per_sigma;
      cause.sigma = std::sqrt(std::max(0.0, w2 - w2 * w2 * h.h.col(0).dot(solved))) * h.unit_per_sigma;
    }
    out.push_back(cause);
    log_weight.push_back(log_density(wide, r));
  }
  const double top = *std::max_element(log_weight.begin(), log_weight.end());
  double sum = 0;
  for (const double l : log_weight) sum += std::exp(l - top);
  for (std::size_t k = 0; k < out.size(); ++k) {
    out[k].plausibility = std::exp(log_weight[k] - top) / sum;
    out[k].tied = log_weight[k] > top - std::log(kTie);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Cause& a, const Cause& b) { return a.plausibility > b.plausibility; });
  return out;
}

namespace {

// Lines for the readings after the work are there, as an order leaves them, but no reading is in them.
base::Problem nothing_entered(const CaseDescription& d, const std::vector<NoteRow>& rows,
                              const NoteRow& first) {
  const auto lines = std::count_if(rows.begin(), rows.end(), [](const NoteRow& r) { return r.set_up > 0; });
  return {first.place.file,
          first.place.line,
          first.place.line_text,
          fmt::format("no reading after the work is entered yet: {} for \"{}\" {} blank",
                      lines == 1 ? "the line" : fmt::format("the {} lines", lines),
                      d.set_ups[first.set_up].name, lines == 1 ? "is" : "are"),
          "at least one reading there, such as under down_weight [gf] or up_weight [gf]",
          "weigh these notes after the work, type what you read under the headings and run this again"};
}

}  // namespace

Afterwards check_afterwards(const CaseDescription& d, std::vector<NoteRow> rows,
                            const std::function<bool(const Doing&)>& progress) {
  Afterwards out;
  rows = with_workable_states(d, std::move(rows));
  out.rows = rows;
  const auto data = list_data(rows, false);
  const auto is_after = [](const NoteRow& row) { return row.set_up > 0; };
  if (std::none_of(data.begin(), data.end(), [&](const Datum& j) { return is_after(rows[j.row]); })) {
    const auto blank = std::find_if(rows.begin(), rows.end(), is_after);
    if (blank != rows.end()) throw base::UserError({nothing_entered(d, rows, *blank)});
    throw base::UserError(
        {base::Problem{rows.front().place.file, 0, "", "no line was measured after the work",
                       "lines with the set-up that was carried out, not only the base",
                       "write the name of that set-up under set_up"}});
  }
  const auto tell = [&](const char* what, double share) { return !progress || progress({what, share}); };
  NoteModel model(d, rows, {});
  const VectorXd f = model.predict(data, VectorXd(0));
  const auto columns = find_columns(
      d, rows, data, {}, [&](double share) { return tell("what the prediction rests on", share); });
  const Index m = static_cast<Index>(data.size());
  VectorXd y(m), s(m);
  for (Index j = 0; j < m; ++j) {
    y[j] = data[static_cast<std::size_t>(j)].value();
    s[j] = data[static_cast<std::size_t>(j)].sigma();
  }
  MatrixXd predicted = MatrixXd::Zero(m, m);
  for (const Column& c : columns) predicted += c.effect * c.effect.transpose();
  MatrixXd c = predicted;
  c += MatrixXd(s.array().square().matrix().asDiagonal());
  const VectorXd r = y - f;

  std::vector<Index> before, after;
  for (Index j = 0; j < m; ++j)
    (rows[data[static_cast<std::size_t>(j)].row].set_up == 0 ? before : after).push_back(j);
  out.used_before = !before.empty();
  VectorXd f_after = f(after);
  MatrixXd c_after = predicted(after, after);
  VectorXd r_after = r(after);
  if (out.used_before) {
    const MatrixXd c_bb = c(before, before), c_ab = predicted(after, before);
    const Eigen::LLT<MatrixXd> llt(c_bb);
    const VectorXd gain = c_ab * llt.solve(VectorXd(r(before)));
    f_after += gain;
    r_after -= gain;
    c_after -= c_ab * llt.solve(MatrixXd(c_ab.transpose()));
  }
  out.covariance = c_after;
  MatrixXd total = c_after;
  for (std::size_t k = 0; k < after.size(); ++k) {
    const auto i = static_cast<Index>(k);
    total(i, i) += s[after[k]] * s[after[k]];
    Checked checked;
    checked.row = data[static_cast<std::size_t>(after[k])].row;
    checked.reading = data[static_cast<std::size_t>(after[k])].reading;
    const double error = std::sqrt(std::max(0.0, c_after(i, i)));
    checked.predicted = from_fit(checked.reading.kind, f_after[i]);
    checked.sigma = error * checked.reading.sigma / s[after[k]];  // back to the reading's own unit
    checked.agrees = std::abs(r_after[i]) <= 1.96 * std::sqrt(total(i, i));
    out.checked.push_back(checked);
  }
  out.chi_squared = r_after.dot(total.llt().solve(r_after));
  out.chance = base::find_chi_squared_chance(static_cast<double>(after.size()), out.chi_squared);
  out.agrees = out.chance >= 0.05;
  if (!out.agrees) out.causes = rank_causes(c, r, list_hypotheses(d, columns, rows, data));
  return out;
}

}  // namespace leverwright::calibrate

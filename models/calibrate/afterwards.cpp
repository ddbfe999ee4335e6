#include "models/calibrate/afterwards.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "models/calibrate/left_out.h"
#include "models/case_file/quantity.h"
#include "sim/base/error.h"
#include "sim/base/statistics.h"
#include "sim/base/units.h"

namespace leverwright::calibrate {

using case_file::CaseDescription;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

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

void name_unit(const CaseDescription& d, const study::Input& in, Directions::Amount& a) {
  const auto dimension = dimension_of(d, in);
  double si = case_file::trade_unit_in_si(dimension);
  a.unit = case_file::trade_unit(dimension);
  if (dimension == case_file::Dimension::kTorque) {
    si = base::kGramForce * 0.023;
    a.unit = "gf at 23 mm";
  }
  a.unit_per_sigma = in.sigma / si;
}

// Mean effect of a column on each kind of reading after the work.
std::map<Kind, double> effect_of(const VectorXd& effect, const std::vector<NoteRow>& rows,
                                 const std::vector<Datum>& data) {
  std::map<Kind, double> sum;
  std::map<Kind, int> count;
  for (std::size_t j = 0; j < data.size(); ++j) {
    if (rows[data[j].row].set_up == 0 || effect[static_cast<Index>(j)] == 0) continue;
    sum[data[j].reading.kind] += effect[static_cast<Index>(j)];
    ++count[data[j].reading.kind];
  }
  for (auto& [kind, value] : sum) value /= count[kind];
  return sum;
}

bool is_friction(const study::Input& in) {
  return in.kind == study::Input::Kind::kQuantity &&
         (in.key.rfind("friction.", 0) == 0 || in.key.find(".friction") != std::string::npos);
}

// Lengths whose error moves a contact along its lever.
bool is_arm(const study::Input& in) {
  for (const char* key :
       {"measured.key_rear_length", "measured.heel_contact_arm", "measured.wippen_arm",
        "measured.knuckle_arm", "measured.hanging_distance", "measured.balance_hole_to_wippen_centre"})
    if (in.kind == study::Input::Kind::kQuantity && in.key == key) return true;
  return false;
}

Directions find_directions(const CaseDescription& d, const std::vector<Column>& columns,
                           const std::vector<NoteRow>& rows, const std::vector<Datum>& data) {
  Directions out;
  double down = 0, up = 0, most = 0;
  std::vector<std::string> named;
  for (const Column& c : columns) {
    const auto effect = effect_of(c.effect, rows, data);
    if (effect.empty()) continue;
    const auto of = [&](Kind kind) {
      const auto at = effect.find(kind);
      return at == effect.end() ? 0.0 : at->second;
    };
    if (is_friction(c.input)) {
      const double sign = of(Kind::kDownWeight) < 0 ? -1 : 1;
      down += sign * of(Kind::kDownWeight);
      up += sign * of(Kind::kUpWeight);
    }
    const double balance = 0.5 * (of(Kind::kDownWeight) + of(Kind::kUpWeight));
    if (is_arm(c.input) && std::abs(balance) > most) {
      most = std::abs(balance);
      out.leverage.clear();
      for (const Kind kind : {Kind::kDip, Kind::kBlow, Kind::kLetOff, Kind::kAftertouch})
        if (of(kind) != 0) out.leverage[kind] = of(kind) / balance;
    }
    const bool work = c.input.kind == study::Input::Kind::kChange;
    if (!work && !c.is_regulation) continue;
    // Columns of one input, one for each note, are one amount.
    const std::string name = work ? c.input.name : c.input.name.substr(12);
    const std::string id = fmt::format("{} {} {}", c.input.name, c.input.set_up, c.input.change);
    if (std::find(named.begin(), named.end(), id) != named.end()) continue;
    named.push_back(id);
    Directions::Amount a;
    a.name = name;
    name_unit(d, c.input, a);
    a.effect = effect;
    (work ? out.work : out.settings).push_back(a);
  }
  // Rubbing adds to the down weight at least what it takes from the up weight; half of it where little is
  // known.
  if (down > 0) out.drag_up = std::clamp(up / down, -1.0, -0.5);
  return out;
}

// What the model does not see of a note is there before and after the work alike (afterwards.h): added to the
// covariance of the readings of every note that was weighed before.
void add_unseen(double left_out, const std::vector<NoteRow>& rows, const std::vector<Datum>& data,
                MatrixXd& covariance) {
  const auto is_weight = [](Kind kind) { return kind == Kind::kDownWeight || kind == Kind::kUpWeight; };
  const auto weighed_before = [&](const std::string& note) {
    return std::any_of(data.begin(), data.end(), [&](const Datum& j) {
      return rows[j.row].set_up == 0 && rows[j.row].note == note && is_weight(j.reading.kind);
    });
  };
  const auto friction_sign = [](Kind kind) { return kind == Kind::kDownWeight ? 1.0 : -1.0; };
  for (std::size_t i = 0; i < data.size(); ++i)
    for (std::size_t j = 0; j < data.size(); ++j) {
      const Kind one = data[i].reading.kind, other = data[j].reading.kind;
      if (rows[data[i].row].note != rows[data[j].row].note || !weighed_before(rows[data[i].row].note))
        continue;
      double shared = 0;
      if (is_weight(one) && is_weight(other))
        shared = left_out * left_out +
                 friction_sign(one) * friction_sign(other) * kUnseenFriction * kUnseenFriction;
      if (one == Kind::kAftertouch && other == Kind::kAftertouch)
        shared = kUnseenAftertouch * kUnseenAftertouch;
      covariance(static_cast<Index>(i), static_cast<Index>(j)) += shared;
    }
}

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

AfterModel prepare_afterwards(const CaseDescription& d, std::vector<NoteRow> rows,
                              const std::function<bool(const Doing&)>& progress) {
  rows = with_workable_states(d, std::move(rows));
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
  AfterModel out;
  out.rows = rows;
  out.data = data;
  const auto tell = [&](const char* what, double share) { return !progress || progress({what, share}); };
  NoteModel model(d, rows, {});
  out.predicted = model.predict(data, VectorXd(0));
  const auto columns = find_columns(d, rows, data, {kLeftOutKey}, [&](double share) {
    return tell("what the prediction rests on", share);
  });
  const auto m = static_cast<Index>(data.size());
  out.covariance = MatrixXd::Zero(m, m);
  for (const Column& c : columns) out.covariance += c.effect * c.effect.transpose();
  add_unseen(left_out_of(d).sigma, rows, data, out.covariance);
  out.directions = find_directions(d, columns, rows, data);
  out.columns = columns;
  return out;
}

Afterwards judge_afterwards(const AfterModel& model, const std::vector<Datum>& data) {
  Afterwards out;
  out.rows = model.rows;
  const auto m = static_cast<Index>(data.size());
  VectorXd y(m), s(m);
  std::vector<Index> before, after;
  for (Index j = 0; j < m; ++j) {
    const Datum& datum = data[static_cast<std::size_t>(j)];
    y[j] = datum.value();
    s[j] = datum.sigma();
    (model.rows[datum.row].set_up == 0 ? before : after).push_back(j);
  }
  const MatrixXd c = model.covariance + MatrixXd(s.array().square().matrix().asDiagonal());
  const VectorXd r = y - model.predicted;
  out.used_before = !before.empty();
  VectorXd f_after = model.predicted(after), r_after = r(after);
  MatrixXd c_after = model.covariance(after, after);
  if (out.used_before) {
    const MatrixXd c_ab = model.covariance(after, before);
    const Eigen::LLT<MatrixXd> llt(MatrixXd(c(before, before)));
    const VectorXd gain = c_ab * llt.solve(VectorXd(r(before)));
    f_after += gain;
    r_after -= gain;
    c_after -= c_ab * llt.solve(MatrixXd(c_ab.transpose()));
  }
  out.covariance = c_after;
  MatrixXd total = c_after;
  std::vector<Datum> read;
  for (std::size_t k = 0; k < after.size(); ++k) {
    const auto i = static_cast<Index>(k);
    const Datum& datum = data[static_cast<std::size_t>(after[k])];
    read.push_back(datum);
    total(i, i) += s[after[k]] * s[after[k]];
    Checked checked;
    checked.row = datum.row;
    checked.reading = datum.reading;
    const double error = std::sqrt(std::max(0.0, c_after(i, i)));
    checked.predicted = from_fit(datum.reading.kind, f_after[i]);
    checked.sigma = error * datum.reading.sigma / s[after[k]];  // back to the reading's own unit
    checked.agrees = std::abs(r_after[i]) <= 1.96 * std::sqrt(total(i, i));
    out.checked.push_back(checked);
  }
  out.chi_squared = r_after.dot(total.llt().solve(r_after));
  out.chance = base::find_chi_squared_chance(static_cast<double>(after.size()), out.chi_squared);
  // Each note by itself.
  std::vector<std::string> notes;
  for (const Datum& datum : read)
    if (std::find(notes.begin(), notes.end(), model.rows[datum.row].note) == notes.end())
      notes.push_back(model.rows[datum.row].note);
  for (const std::string& note : notes) {
    std::vector<Index> own;
    std::vector<Datum> own_data;
    Index down = -1, up = -1;
    for (std::size_t k = 0; k < read.size(); ++k) {
      if (model.rows[read[k].row].note != note) continue;
      if (read[k].reading.kind == Kind::kDownWeight) down = static_cast<Index>(k);
      if (read[k].reading.kind == Kind::kUpWeight) up = static_cast<Index>(k);
      own.push_back(static_cast<Index>(k));
      own_data.push_back(read[k]);
    }
    NoteFinding found;
    found.note = note;
    found.friction = found.friction_sigma = found.balance = found.balance_sigma =
        std::numeric_limits<double>::quiet_NaN();
    if (down >= 0 && up >= 0) {
      const double both = total(down, down) + total(up, up), shared = 2 * total(down, up);
      found.friction = 0.5 * (r_after[down] - r_after[up]);
      found.balance = 0.5 * (r_after[down] + r_after[up]);
      found.friction_sigma = 0.5 * std::sqrt(std::max(0.0, both - shared));
      found.balance_sigma = 0.5 * std::sqrt(std::max(0.0, both + shared));
    }
    found.causes =
        name_causes(total(own, own), r_after(own), list_hypotheses(own_data, model.rows, model.directions));
    out.notes.push_back(found);
  }
  out.causes = name_causes(total, r_after, list_hypotheses(read, model.rows, model.directions));
  out.agrees = out.causes.empty() && out.chance >= 0.01;
  return out;
}

Afterwards check_afterwards(const CaseDescription& d, std::vector<NoteRow> rows,
                            const std::function<bool(const Doing&)>& progress) {
  const AfterModel model = prepare_afterwards(d, std::move(rows), progress);
  return judge_afterwards(model, model.data);
}

}  // namespace leverwright::calibrate

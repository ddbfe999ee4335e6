#include "models/calibrate/causes.h"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/base/units.h"

namespace leverwright::calibrate {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

double log_density(const MatrixXd& c, const VectorXd& r) {
  const Eigen::LLT<MatrixXd> llt(c);
  const MatrixXd l = llt.matrixL();
  return -0.5 * r.dot(llt.solve(r)) - l.diagonal().array().log().sum();
}

// Columns of one effect on every note; a note without such readings has none.
class Columns {
 public:
  Columns(const std::vector<Datum>& after, const std::vector<NoteRow>& rows) : after_(after), rows_(rows) {
    for (const Datum& j : after)
      if (std::find(notes_.begin(), notes_.end(), rows[j.row].note) == notes_.end())
        notes_.push_back(rows[j.row].note);
  }
  const std::vector<std::string>& notes() const { return notes_; }
  VectorXd on(const std::string& note, const std::map<Kind, double>& effect) const {
    VectorXd h = VectorXd::Zero(static_cast<Index>(after_.size()));
    for (std::size_t j = 0; j < after_.size(); ++j) {
      const auto e = effect.find(after_[j].reading.kind);
      if (e != effect.end() && rows_[after_[j].row].note == note) h[static_cast<Index>(j)] = e->second;
    }
    return h;
  }
  // Readings of the kinds an effect has, in the least number that tells it from a single reading out of line.
  bool shows(const std::string& note, const std::map<Kind, double>& effect) const {
    return (on(note, effect).array() != 0).count() >= 2;
  }

 private:
  const std::vector<Datum>& after_;
  const std::vector<NoteRow>& rows_;
  std::vector<std::string> notes_;
};

struct Kindred {  // what one blame looks like before it is laid on a note or on all
  Blame blame;
  std::string words, unit;
  double unit_per_sigma;
  std::map<Kind, double> effect;
  bool scatters;
  bool needs_two;
};

void lay_on(const Columns& columns, const Kindred& k, std::vector<Hypothesis>& out) {
  const std::size_t count = columns.notes().size();
  MatrixXd all(columns.on(columns.notes().front(), k.effect).size(), static_cast<Index>(count));
  for (std::size_t n = 0; n < count; ++n) {
    const std::string& note = columns.notes()[n];
    all.col(static_cast<Index>(n)) = columns.on(note, k.effect);
    if (all.col(static_cast<Index>(n)).norm() == 0) continue;
    if (k.needs_two && !columns.shows(note, k.effect)) continue;
    Hypothesis h{k.words, k.unit, k.unit_per_sigma, all.col(static_cast<Index>(n)), k.blame, note};
    out.push_back(h);
  }
  if (count < 2 || all.norm() == 0) return;
  out.push_back({k.words, k.unit, k.unit_per_sigma, all.rowwise().sum(), k.blame, ""});
  if (k.scatters && count > 2)
    out.push_back({k.words + ", uneven from note to note", k.unit, k.unit_per_sigma, all, k.blame, ""});
}

std::string advice_for(const Cause& c) {
  switch (c.blame) {
    case Blame::kDrag:
      return c.shift < 0
                 ? "a centre or bushing may have become loose: feel for play, gauge it again"
                 : "find the drag: key alone, then each centre by gauge, then a loose lever and jack drawn "
                   "along the knuckle; ease only what is tight";
    case Blame::kWeight:
      return "weigh front weight and strike weight again; look at leads, at the spring's strength";
    case Blame::kLeverage:
      return "measure where the capstan meets the heel, and the arms, on this note again";
    case Blame::kWork:
      return "measure it where it was done, before another note is touched";
    case Blame::kSetting:
      return "set it again, then weigh";
    case Blame::kReading:
      return "take this reading again before anything else";
    default:
      return "";
  }
}

std::string words_for(const Cause& c) {
  const std::string where = c.note.empty() ? "all notes: " : c.note + ": ";
  switch (c.blame) {
    case Blame::kDrag:
      if (!std::isfinite(c.shift))
        return "friction uneven from note to note, balance weight as predicted: drag";
      return where + (c.shift > 0 ? "drag, more friction than predicted with the balance weight as predicted"
                                  : "less friction than predicted, balance weight as predicted");
    case Blame::kWeight:
      return where + (c.shift > 0 ? "heavier than predicted, travel and friction as predicted"
                                  : "lighter than predicted, travel and friction as predicted");
    case Blame::kLeverage:
      return where + "leverage, balance weight and travel are off together";
    default:
      return where + c.words;
  }
}

}  // namespace

std::vector<Hypothesis> list_hypotheses(const std::vector<Datum>& after, const std::vector<NoteRow>& rows,
                                        const Directions& d) {
  const Columns columns(after, rows);
  std::vector<Hypothesis> out;
  const double gf = base::kGramForce;
  lay_on(columns,
         {Blame::kDrag,
          "drag",
          "gf of friction",
          0.5 * (1 - d.drag_up),
          {{Kind::kDownWeight, gf}, {Kind::kUpWeight, d.drag_up * gf}},
          true,
          true},
         out);
  lay_on(columns,
         {Blame::kWeight,
          "weight",
          "gf of balance weight",
          1,
          {{Kind::kDownWeight, gf}, {Kind::kUpWeight, gf}},
          false,
          true},
         out);
  if (!d.leverage.empty()) {
    std::map<Kind, double> effect = {{Kind::kDownWeight, gf}, {Kind::kUpWeight, gf}};
    for (const auto& [kind, per_newton] : d.leverage) effect[kind] = per_newton * gf;
    lay_on(columns, {Blame::kLeverage, "leverage", "gf of balance weight", 1, effect, false, true}, out);
  }
  for (const auto& a : d.work)
    lay_on(
        columns,
        {Blame::kWork, a.name + " came out otherwise", a.unit, a.unit_per_sigma, a.effect, a.per_note, false},
        out);
  for (const auto& a : d.settings)
    lay_on(columns,
           {Blame::kSetting, a.name + " is not at its specification", a.unit, a.unit_per_sigma, a.effect,
            false, false},
           out);
  // The bench itself: one reading, or a kind of weight read wrong throughout.
  for (std::size_t j = 0; j < after.size(); ++j) {
    const auto& info = info_of(after[j].reading.kind);
    Hypothesis h{std::string(info.name) + " reads out of line",
                 info.display_unit,
                 after[j].reading.sigma * info.display_factor,
                 MatrixXd::Zero(static_cast<Index>(after.size()), 1),
                 Blame::kReading,
                 rows[after[j].row].note};
    h.h(static_cast<Index>(j), 0) = after[j].sigma();
    out.push_back(h);
  }
  for (const Kind kind : {Kind::kDownWeight, Kind::kUpWeight})
    if (columns.notes().size() > 1) {
      Hypothesis h{std::string(info_of(kind).name) + "s read wrong, all by the same",
                   "gf",
                   1,
                   MatrixXd::Zero(static_cast<Index>(after.size()), 1),
                   Blame::kReading,
                   ""};
      for (std::size_t j = 0; j < after.size(); ++j)
        if (after[j].reading.kind == kind) h.h(static_cast<Index>(j), 0) = gf;
      if (h.h.norm() > 0) out.push_back(h);
    }
  return out;
}

std::vector<Cause> rank_causes(const MatrixXd& c, const VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses) {
  constexpr double w2 = kGross * kGross;
  std::vector<Cause> out;
  Cause none;
  none.words = "nothing beyond the stated uncertainties";
  none.shift = none.sigma = std::numeric_limits<double>::quiet_NaN();
  out.push_back(none);
  const double nothing = log_density(c, r);
  for (const Hypothesis& h : hypotheses) {
    const MatrixXd wide = c + w2 * h.h * h.h.transpose();
    Cause cause;
    cause.words = h.words;
    cause.unit = h.unit;
    cause.blame = h.blame;
    cause.note = h.note;
    cause.shift = cause.sigma = std::numeric_limits<double>::quiet_NaN();
    if (h.h.cols() == 1) {
      const VectorXd solved = wide.llt().solve(h.h.col(0));
      cause.shift = w2 * solved.dot(r) * h.unit_per_sigma;
      cause.sigma = std::sqrt(std::max(0.0, w2 - w2 * w2 * h.h.col(0).dot(solved))) * h.unit_per_sigma;
    }
    cause.ratio = log_density(wide, r) - nothing;
    out.push_back(cause);
  }
  double top = 0;
  for (const Cause& cause : out) top = std::max(top, cause.ratio);
  double sum = 0;
  for (const Cause& cause : out) sum += std::exp(cause.ratio - top);
  for (Cause& cause : out) {
    cause.plausibility = std::exp(cause.ratio - top) / sum;
    cause.tied = cause.ratio > top - std::log(kTie);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Cause& a, const Cause& b) { return a.plausibility > b.plausibility; });
  return out;
}

std::vector<Cause> name_causes(const MatrixXd& c, const VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses) {
  std::vector<Cause> out = rank_causes(c, r, hypotheses);
  if (out.front().ratio < std::log(kNamed * static_cast<double>(hypotheses.size()))) return {};
  out.erase(std::remove_if(out.begin(), out.end(), [](const Cause& x) { return x.blame == Blame::kNothing; }),
            out.end());
  // Of those that explain the readings alike, what was done comes before what was only measured.
  std::stable_partition(out.begin(),
                        std::find_if(out.begin(), out.end(), [](const Cause& x) { return !x.tied; }),
                        [](const Cause& x) { return x.blame == Blame::kWork; });
  for (Cause& cause : out) {
    cause.words = words_for(cause);
    cause.advice = advice_for(cause);
  }
  return out;
}

}  // namespace leverwright::calibrate

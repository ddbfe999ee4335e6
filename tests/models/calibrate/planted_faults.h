// Jobs with nothing wrong, and jobs with one fault planted: readings of three notes before and after the
// capstans of cases/after_the_work were moved, judged by judge_afterwards.
//
// What the case leaves uncertain, how exactly the notes are regulated and the readings' own errors are drawn
// (normal, by the same columns that make the prediction's covariance: for these the bands are right by
// construction, and what is asked is how often a cause is named for nothing). A fault goes through the whole
// action, regulated afresh with it: its size is such that the reading it moves most is off by `sigmas` of its
// prediction and reading error together.
#pragma once
#include <Eigen/Cholesky>
#include <array>
#include <cmath>

#include "models/calibrate/afterwards.h"
#include "models/remedies/read_case.h"
#include "models/study/counter_random.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::calibrate_test {

using namespace calibrate;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

enum class Planted { kNone, kDrag, kWeight, kCapstanOfOne, kCapstanOfAll, kDip, kBlow, kReading, kCount };
inline const char* name_of(Planted p) {
  static const char* const kNames[] = {
      "none",         "drag on one note", "weight of one key", "one capstan",
      "all capstans", "dip of one note",  "blow of one note",  "one weight misread"};
  return kNames[static_cast<std::size_t>(p)];
}

class PlantedJobs {
 public:
  explicit PlantedJobs(std::uint64_t seed)
      : seed_(seed), d_(remedies::read_case("cases/after_the_work/case.toml")) {
    for (auto row : read_measurements("cases/after_the_work/measurements.csv", d_)) {
      row.readings.clear();
      for (const auto& [kind, sigma] : kRead) row.readings.push_back({kind, 0.01, sigma});
      rows_.push_back(row);
    }
    model_ = prepare_afterwards(d_, rows_);
    total_ = model_.covariance;
    for (std::size_t j = 0; j < model_.data.size(); ++j)
      total_(static_cast<Index>(j), static_cast<Index>(j)) += std::pow(model_.data[j].sigma(), 2);
  }
  const AfterModel& model() const { return model_; }

  struct Outcome {
    Afterwards found;
    bool first_or_second = false;
    bool possible = true;  // the action with the fault could be regulated and weighed
  };
  Outcome run(Planted what, double sigmas, std::uint64_t draw) const {
    Outcome out;
    const std::size_t notes = rows_.size() / 2;
    const std::size_t note = static_cast<std::size_t>(draw) % notes;
    const double sign = (draw / notes) % 2 == 0 ? 1 : -1;
    VectorXd y = model_.predicted;
    std::uint64_t stream = 0;
    for (const Column& c : model_.columns)
      y += c.effect * study::counter_normal(seed_, 1000 + stream++, draw);
    for (Index j = 0; j < y.size(); ++j)
      y[j] += model_.data[static_cast<std::size_t>(j)].sigma() *
              study::counter_normal(seed_, 5000 + static_cast<std::uint64_t>(j), draw);
    try {
      if (what != Planted::kNone) y += shift(what, note, sign, sigmas);
    } catch (const base::UserError&) {
      out.possible = false;
      return out;
    }
    std::vector<Datum> data = model_.data;
    for (std::size_t j = 0; j < data.size(); ++j)
      data[j].reading.value = from_fit(data[j].reading.kind, y[static_cast<Index>(j)]);
    out.found = judge_afterwards(model_, data);
    for (std::size_t k = 0; k < out.found.causes.size() && k < 2; ++k)
      out.first_or_second = out.first_or_second || is_it(out.found.causes[k], what, rows_[2 * note].note);
    return out;
  }

 private:
  static constexpr std::array<std::pair<Kind, double>, 6> kRead = {
      {{Kind::kDownWeight, 1.0 * base::kGramForce},
       {Kind::kUpWeight, 1.0 * base::kGramForce},
       {Kind::kDip, 0.1e-3},
       {Kind::kBlow, 0.5e-3},
       {Kind::kLetOff, 0.2e-3},
       {Kind::kAftertouch, 0.1e-3}}};

  static bool is_it(const Cause& c, Planted what, const std::string& note) {
    const bool here = c.note == note;
    switch (what) {
      case Planted::kDrag:
        return here && c.blame == Blame::kDrag;
      case Planted::kWeight:
        return here && c.blame == Blame::kWeight;
      case Planted::kCapstanOfOne:
        return here && (c.blame == Blame::kWork || c.blame == Blame::kLeverage);
      case Planted::kCapstanOfAll:
        return c.note.empty() && (c.blame == Blame::kWork || c.blame == Blame::kLeverage);
      case Planted::kDip:
        return here && c.blame == Blame::kSetting && c.words.find("dip") != std::string::npos;
      case Planted::kBlow:
        return here && c.blame == Blame::kSetting && c.words.find("blow") != std::string::npos;
      case Planted::kReading:
        return here && c.blame == Blame::kReading;
      default:
        return false;
    }
  }

  // Change of every reading by a fault of this amount, through the action.
  VectorXd effect(Planted what, std::size_t note, double amount) const {
    VectorXd out = VectorXd::Zero(model_.predicted.size());
    if (what == Planted::kReading) {
      for (std::size_t j = 0; j < model_.data.size(); ++j)
        if (model_.data[j].row == 2 * note + 1 && model_.data[j].reading.kind == Kind::kDownWeight)
          out[static_cast<Index>(j)] = amount * base::kGramForce;
      return out;
    }
    std::vector<NoteRow> rows;
    case_file::CaseDescription d = d_;
    for (std::size_t n = 0; n < rows_.size() / 2; ++n) {
      NoteRow row = rows_[2 * n + 1];
      const bool here = n == note || what == Planted::kCapstanOfAll;
      if (!here) continue;
      const auto put = [&](const char* key, double add) {
        case_file::Quantity q = row.own.count(key) ? row.own.at(key) : d_.quantity(key);
        q.value += add;
        row.own[key] = q;
      };
      if (what == Planted::kDrag) put("friction.hammer_centre", amount * base::kGramForce * 0.023);
      if (what == Planted::kWeight) put("measured.front_weight", amount * base::kGramForce);
      if (what == Planted::kDip) put("regulation.dip", amount * 1e-3);
      if (what == Planted::kBlow) put("regulation.blow", amount * 1e-3);
      rows.push_back(row);
    }
    if (what == Planted::kCapstanOfOne || what == Planted::kCapstanOfAll)
      d.set_ups[1].changes[0].quantities.at("distance").value += amount * 1e-3;
    const auto data = list_data(rows, false);
    const VectorXd with = NoteModel(d, rows, {}).predict(data, VectorXd(0));
    for (std::size_t k = 0; k < data.size(); ++k)
      for (std::size_t j = 0; j < model_.data.size(); ++j)
        if (rows_[model_.data[j].row].note == rows[data[k].row].note &&
            rows_[model_.data[j].row].set_up > 0 && model_.data[j].reading.kind == data[k].reading.kind)
          out[static_cast<Index>(j)] = with[static_cast<Index>(k)] - model_.predicted[static_cast<Index>(j)];
    return out;
  }

  VectorXd shift(Planted what, std::size_t note, double sign, double sigmas) const {
    static constexpr double kTrial[] = {0, 2, 4, 1, 1, 0.2, 1, 3};  // gf at 23 mm, gf, mm, mm, mm, mm, gf
    double amount = kTrial[static_cast<std::size_t>(what)] * (what == Planted::kDrag ? 1 : sign);
    for (int round = 0; round < 2; ++round) {
      const VectorXd e = effect(what, note, amount);
      double most = 0;
      for (Index j = 0; j < e.size(); ++j) most = std::max(most, std::abs(e[j]) / std::sqrt(conditional(j)));
      amount *= sigmas / most;
    }
    return effect(what, note, amount);
  }
  // Variance of a reading after the work when those before it are known.
  double conditional(Index j) const {
    if (conditional_.size() == 0) {
      std::vector<Index> before;
      for (std::size_t k = 0; k < model_.data.size(); ++k)
        if (model_.rows[model_.data[k].row].set_up == 0) before.push_back(static_cast<Index>(k));
      std::vector<Index> every(static_cast<std::size_t>(total_.rows()));
      for (std::size_t k = 0; k < every.size(); ++k) every[k] = static_cast<Index>(k);
      const MatrixXd bb = total_(before, before), ab = model_.covariance(every, before);
      conditional_ = (total_ - ab * bb.llt().solve(MatrixXd(ab.transpose()))).diagonal();
    }
    return conditional_[j];
  }

  std::uint64_t seed_;
  case_file::CaseDescription d_;
  std::vector<NoteRow> rows_;
  AfterModel model_;
  MatrixXd total_;
  mutable VectorXd conditional_;
};

}  // namespace leverwright::calibrate_test

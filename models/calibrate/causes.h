// What may have gone wrong in a job that did not come out as predicted: only things somebody measured or did,
// on one note by itself before all together.
//
//   drag      friction is off, balance weight as predicted: down +1, up -u (u from the action's own
//   frictions) weight    balance weight is off, travel as predicted: down +1, up +1. Leads, hammer, spring
//   leverage  balance weight and travel are off together, as a contact at another place makes them
//   work      an amount of the work ordered came out otherwise
//   setting   a note was not regulated to the specification
//   reading   one reading is out of line
//
// Each acts along a column h over the readings after the work, on one note, on all alike, or (drag, work) on
// each by itself. Readings less predictions are N(0, C) when nothing is wrong and N(0, C + kGross^2 H H^T)
// when one thing is, by kGross of its usual sizes in the usual way; the ratio of the two densities is how
// well the cause explains them (the marginal likelihood of each model: H. Jeffreys, Theory of probability,
// ch. 5), so that a cause that could explain anything is trusted less than one that explains just this. None
// is named below a ratio of kNamed times the number of causes looked at, which keeps false alarms under one
// job in twenty. Where errors are as stated 0.44 would do: over 2000 jobs with nothing wrong the best of 59 causes
// passed 0.44 times their number in one of twenty (tests/validation/experiments/causes_experiment.cpp). Actions differ
// from the model in kind: over 40 whole jobs with nothing wrong (models/handbook/whole_job.md) readings stood 1.13
// times as far from their predictions as stated, and a reading that far out passes 2.0 where it would have passed 0.7.
// Two whose ratios differ by less than kTie are told as undecided.
#pragma once
#include <Eigen/Core>
#include <map>
#include <string>
#include <vector>

#include "models/calibrate/note_model.h"

namespace leverwright::calibrate {

inline constexpr double kGross = 6, kTie = 3, kNamed = 2.0;

enum class Blame { kNothing, kDrag, kWeight, kLeverage, kWork, kSetting, kReading };

struct Hypothesis {
  std::string words, unit;
  double unit_per_sigma = 1;  // amount of one standard deviation in `unit`
  Eigen::MatrixXd h;          // readings x columns
  Blame blame = Blame::kNothing;
  std::string note;  // empty: all notes
};

struct Cause {
  std::string words;
  double plausibility = 0;
  double shift = 0, sigma = 0;  // the likeliest amount, in `unit`; NaN for a scatter
  std::string unit;
  bool tied = false;  // with the first
  Blame blame = Blame::kNothing;
  std::string note, advice;
  double ratio = 0;  // of its density to that of nothing, natural logarithm
};

// How causes show in readings, SI. Up for one of down weight; travel for one newton of balance weight.
struct Directions {
  double drag_up = -0.85;
  std::map<Kind, double> leverage;  // change of dip, blow, let-off or aftertouch per N of balance weight
  // One standard deviation of an amount of the work, or of how exactly a note is regulated.
  struct Amount {
    std::string name, unit;
    double unit_per_sigma = 1;
    std::map<Kind, double> effect;
    bool per_note = true;  // may differ from note to note
  };
  std::vector<Amount> work, settings;
};

// What may be blamed for these readings after the work.
std::vector<Hypothesis> list_hypotheses(const std::vector<Datum>& after, const std::vector<NoteRow>& rows,
                                        const Directions& directions);

// Every hypothesis and "nothing beyond the stated uncertainties", likeliest first. `c`: covariance of the
// readings, `r` measured less predicted, in what they are fitted in.
std::vector<Cause> rank_causes(const Eigen::MatrixXd& c, const Eigen::VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses);

// Those to be named, with amounts in words and what to do; none when nothing explains the readings well
// enough.
std::vector<Cause> name_causes(const Eigen::MatrixXd& c, const Eigen::VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses);

}  // namespace leverwright::calibrate

// Several set-ups of one action, each regulated afresh, weighed, and set side by side with the uncertainty
// that the measurements allow.
//
// Uncertainty (linear): every uncertain input i is moved by one standard deviation and everything is solved
// again. With c_i = change of a measure per standard deviation, sigma^2 = sum c_i^2. For the difference of
// two set-ups the same inputs are moved in both: sigma_diff^2 = sum (c_i,set-up - c_i,base)^2; what cancels,
// cancels. Inputs whose c_i on the base stays under `kNegligible` of the sigma of every measure are not
// repeated for the others. The input with the largest share is named. What all this says of a move, and which
// is to be done, is the judgement's (models/judgement/judge.h, asked in judge_comparison.h).
//
// Each set-up is regulated, weighed and played by the SetUpSolver (set_up_solver.h). Uncertainties are not
// propagated through the strokes: a repetition for every input would cost some hundred times the whole study.
//
// Set-ups are solved in parallel and begun in the order of the case; each depends on nothing but the case, so
// the bits are the same for any number of threads. What was begun when `progress` asks to stop is finished:
// the set-ups kept are always the first ones of the case.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "models/study/inputs.h"
#include "models/study/monte_carlo.h"
#include "models/study/set_up_solver.h"

namespace leverwright::study {

struct Effects {
  std::vector<std::vector<Measures>> change;  // [set-up][input]: of every measure per standard deviation, SI
  // An input with which a set-up, moved either way and by half, cannot be weighed has no number there and counts for
  // nothing. Per set-up: why it cannot be weighed where the moved ones start from (empty: it can).
  std::vector<std::string> unknown;
};

struct Comparison {
  std::vector<SetUpResult> set_ups;
  std::vector<std::string> warnings;
  std::vector<Input> inputs;  // all that took part
  int inputs_screened_out = 0;
  Effects effects;                        // of the inputs, when uncertainties were worked out
  std::optional<MonteCarlo> monte_carlo;  // when asked for (sample_comparison.h)
  SetUpSolver solver;                     // of the case: where the base's key rests
  judgement::Question question;  // what was judged; moves: the set-ups after the base, in their order
  judgement::Verdict judged;
};

struct Progress {
  std::string doing;
  double share = 0;  // 0 to 1
};

struct CompareOptions {
  bool uncertainty = true;
  double step = 0.05e-3;             // of dip, for the stored curves
  std::vector<std::string> touches;  // names of known_touches() to be played on every set-up
  std::size_t first_played = 0;      // set-ups before this one are not played
  MonteCarloOptions monte_carlo;     // samples 0: none; needs `uncertainty`
  int threads = 0;                   // 0: as many as the machine has
  // Return false to stop; what is begun is finished and kept. Never called by two threads at once.
  std::function<bool(const Progress&)> progress;
  // Called for each set-up, in the order of the case, as soon as its curves are there (before uncertainties).
  // Never at the same time as `progress`.
  std::function<void(const SetUpResult&)> finished;
};

inline constexpr double kNegligible = 0.03;

// The uncertain inputs of a solved comparison drawn again and again (monte_carlo.h), every set-up regulated
// and weighed for each draw. A stop keeps the samples finished in a row from the first.
MonteCarlo sample_comparison(const case_file::CaseDescription& description, const Comparison& comparison,
                             const CompareOptions& options);

Comparison compare(const case_file::CaseDescription& description, const CompareOptions& options = {});

// Which way a positive change of a screw is turned or moved, in trade words.
const char* turn_direction(action::Screw screw, bool positive);

}  // namespace leverwright::study

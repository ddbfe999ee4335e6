// Several set-ups of one action, each regulated afresh, weighed, and set side by side with the uncertainty
// that the measurements allow.
//
// Uncertainty (linear): every uncertain input i is moved by one standard deviation and everything is solved
// again. With c_i = change of a measure per standard deviation, sigma^2 = sum c_i^2. For the difference of
// two set-ups the same inputs are moved in both: sigma_diff^2 = sum (c_i,set-up - c_i,base)^2; what cancels,
// cancels. Inputs whose c_i on the base stays under `kNegligible` of the sigma of every measure are not
// repeated for the others. Verdict per measure: better or worse when the distance to the target changes by
// more than 1.96 sigma_diff; moved when only the measure itself does (from above the target to below it,
// say); otherwise cannot be told apart. The input with the largest share is named.
//
// Each set-up is regulated at rest (regulate.h), then back check and repetition spring by playing
// (regulate_dynamic.h), then weighed, then played. Uncertainties are not propagated through the strokes: a
// repetition for every input would cost some hundred times the whole study.
//
// Set-ups are solved in parallel and begun in the order of the case; each depends on nothing but the case, so
// the bits are the same for any number of threads. What was begun when `progress` asks to stop is finished:
// the set-ups kept are always the first ones of the case.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "models/action/regulate_dynamic.h"
#include "models/study/inputs.h"
#include "models/study/measures.h"
#include "models/study/monte_carlo.h"
#include "models/study/touches.h"

namespace leverwright::study {

struct MeasureResult {
  double value = 0, sigma = 0;                  // SI
  double difference = 0, sigma_difference = 0;  // against the base
  Judgement judgement = Judgement::kNoTarget;
  std::string dominant;       // input with the largest share in sigma_difference (sigma for the base)
  double dominant_share = 0;  // of the variance
};

struct SetUpResult {
  std::string name, description;
  bool regulated_ok = false;  // all requirements met, those of the moving action as well
  action::ActionDesign design;
  action::Regulated regulated;  // its failures include those of `played`
  action::PlayedRegulation played;
  action::Weighing weighing;
  action::BenchNotes bench;
  action::Action action;             // as regulated
  std::vector<PlayedTouch> touches;  // soft to loud; empty when none was asked for
  Measures measures{};
  std::array<MeasureResult, kMeasureCount> results;
  std::array<double, action::kScrewCount> turns{};  // against the base, positive: as `turn_direction` says
  std::array<double, action::kScrewCount> thread_left{};  // in the direction moved, m (N m for the spring)
  double key_height_change = 0;  // of the playing point at rest, against the base, m (positive: higher)
  double lead_mass = 0,
         lead_distance = 0;  // lead that restores the base's balance weight (negative: take out), kg, m
  std::string verdict;       // one sentence
};

struct Effects {  // [set-up][input]: change of every measure per standard deviation, SI
  std::vector<std::vector<Measures>> change;
};

struct Comparison {
  std::vector<SetUpResult> set_ups;
  std::vector<std::string> warnings;
  std::vector<Input> inputs;  // all that took part
  int inputs_screened_out = 0;
  Effects effects;                        // of the inputs, when uncertainties were worked out
  std::optional<MonteCarlo> monte_carlo;  // when asked for (sample_comparison.h)
  action::KeyLevel level;
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

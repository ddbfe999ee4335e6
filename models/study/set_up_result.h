// Everything a study knows of one set-up: as it was regulated, weighed and played (set_up_solver.h), and what
// a comparison adds (compare.h).
#pragma once
#include <array>
#include <string>
#include <vector>

#include "models/action/regulate_dynamic.h"
#include "models/study/judgement.h"
#include "models/study/measures.h"
#include "models/study/touches.h"

namespace leverwright::study {

struct MeasureResult {
  double value = 0, sigma = 0;                  // SI
  double difference = 0, sigma_difference = 0;  // against the base
  Judgement judgement = Judgement::kNone;
  double nearer = judgement::kUnknown;  // odds that it is nearer to what is wanted
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
  action::PathFacts facts;
  double reflected_mass = 0;         // at half stroke without friction [kg]
  bool whole_stroke = false;         // with what is read at let-off and at full dip
  action::Action action;             // as regulated
  std::vector<PlayedTouch> touches;  // soft to loud; empty when none was asked for
  Measures measures{};               // read off all this (quantities.h)
  std::array<MeasureResult, kMeasureCount> results;
  bool compared = false;                            // what follows has been found
  std::array<double, action::kScrewCount> turns{};  // against the base, positive: as `turn_direction` says
  std::array<double, action::kScrewCount> thread_left{};  // in the direction moved, m (N m for the spring)
  double key_height_change = 0;  // of the playing point at rest, against the base, m (positive: higher)
  double lead_mass = 0,
         lead_distance = 0;  // lead that restores the base's balance weight (negative: take out), kg, m
  int undone = judgement::kUndoneInMinutes;  // how its changes can be taken back (judgement/question.h)
  std::string verdict;                       // one sentence
  std::string misfit;  // not empty: its measurements do not fit together, or statics did not hold
};

}  // namespace leverwright::study

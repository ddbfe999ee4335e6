// To what accuracy each measurement is worth making, from the uncertainty of the case's own answers.
//
// A comparison (study/compare.h) holds c_i, the change of a measure's difference between a set-up and the
// base for one standard deviation s_i of input i (of the base itself where the case compares nothing). The
// answer need not be surer than the reading that will check it after the work: one standard deviation r of
// the usual reading of that measure (down and up weight, dip, blow, aftertouch). With n inputs that matter,
// each may bring r / sqrt(n):
//
//   a_i = s_i (r / sqrt(n)) / |c_i|,   the least of these over set-ups and measures
//
// asked for when it is finer than the usual uncertainty u_i of that measurement; no bench is asked for better
// than u_i / kFinest. An input matters when it holds at least kMatters of the variance of one answer, n
// counts those that do. A measurement is marked as mattering most when it does and a difference that depends
// on it is not told apart, or a_i is finer than u_i; and always when its share is over kDominates.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::workshop {

inline constexpr double kMatters = 0.04, kDominates = 0.1, kFinest = 4;

struct Asked {
  double accuracy = 0;  // one standard deviation, SI
  double share = 0;     // the largest of one answer's variance
  bool finer = false;   // than usual
  bool most = false;    // matters most
  std::string answer;   // the answer with that share: "change of down weight, capstan relocated"
};

struct AccuracyPlan {
  std::map<std::string, Asked> by_key;  // key path of the input; "lead 1: mass" for leads
  // Inputs no line of the sheet measures that hold more than kDominates of an answer, largest first: "lever
  // knuckle: friction (64 % of down weight, as found)".
  std::vector<std::string> not_on_the_sheet;
  bool worked_out = false;
};

// Nothing is worked out for a comparison without uncertainties.
AccuracyPlan plan_accuracy(const study::Comparison& comparison);

// Rounded down to 1, 2 or 5 times a power of ten.
double round_down(double value);

}  // namespace leverwright::workshop

// Lead that brings a set-up's balance weight to the one wanted.
//
// A lead of mass m at x in front of the balance hole takes m g x / a_front off the balance weight; what is
// asked for is the moment
//
//   M = (balance weight - wanted) a_front / g        kg m; below zero: lead is to be taken out
//
// met exactly by the place of the fewest leads of one mass that is sold, none nearer to the balance hole than
// kNearest or farther than kFarthest of the front arm; of several the one nearest to the middle. Masses sold:
// common practice, no source. A difference under kNoticed asks for nothing: a hand does not weigh it again.
//
// Wanted is targets.balance_weight where the case sets one; where only down and up weight were set by the case,
// half their sum. Without a target of the user's nobody drills for lead while the balance weight is in the usual
// range or no more than can be noticed outside it (models/judgement/usual.h); outside, its middle is wanted.
#pragma once
#include <array>

#include "models/case_file/case_description.h"

namespace leverwright::study {

inline constexpr std::array<double, 5> kLeadsSold = {10e-3, 12e-3, 14e-3, 16e-3, 20e-3};  // kg
inline constexpr double kNoticed = 1 * 9.80665e-3;  // N; NaN: none wanted
inline constexpr double kNearest = 30e-3;           // m
inline constexpr double kFarthest = 0.85;           // of the front arm

// Of an action whose balance weight is `now`; `now` itself where nothing is to be done about it.
double find_wanted_balance_weight(const case_file::CaseDescription& description, double now);  // N, N

struct LeadAdvice {
  int count = 0;          // 0: none needed
  double mass = 0;        // of one, kg
  double distance = 0;    // in front of the balance hole, m
  bool take_out = false;  // that moment is to be taken out instead
  double total() const { return (take_out ? -1 : 1) * count * mass; }
};
LeadAdvice find_lead(double balance_weight, double wanted, double front_arm);  // N, N, m

}  // namespace leverwright::study

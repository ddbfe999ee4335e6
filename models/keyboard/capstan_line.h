// The straight line nearest to the places where the notes want their capstans: a row of holes is drilled
// along a straight edge, the wanted places scatter.
//
//   place s_n at note n, across the keys (any datum, the same for all); line  l(n) = a + b n
//   least squares   min sum w_n (s_n - l(n))^2
//   least worst     min over (a, b) of max |s_n - l(n)|
//
// The second: for a given b the best a is half-way between the extremes of s_n - b n, which leaves half of
// their distance as the worst miss; that is convex in b and piecewise linear, its corners are the slopes
// between two notes. The least is at a corner, so trying the slope of every pair of notes finds it exactly.
//
// With a break the notes up to it and those above have a line each (the capstan line of many grands is broken
// where the stack's sections meet). Sought: the break with the least sum of squares (the least worst miss)
// that leaves at least kLeastSection notes on either side.
//
// Assumed: capstans evenly spaced across the keys, so that a straight line over the wood is one over note
// numbers.
#pragma once
#include <vector>

#include "models/keyboard/layout.h"

namespace leverwright::keyboard {

inline constexpr int kLeastSection = 12;  // notes

struct LineSection {
  int from = kFirstNote, to = kLastNote;
  double at_from = 0, at_to = 0;  // the line's place there
};

struct CapstanLine {
  std::vector<LineSection> sections;
  std::vector<double> place, miss;  // by note; miss = place - wanted
  double worst = 0, rms = 0;
  int worst_note = 0;
};

// Wanted places and weights by note, note 1 first; NaN: unknown, takes no part (its miss is NaN).
// break_after: last note of the lower section, 0: none. At least two known places in each section.
CapstanLine fit_least_squares(const std::vector<double>& wanted, const std::vector<double>& weight,
                              int break_after = 0);
CapstanLine fit_least_worst(const std::vector<double>& wanted, int break_after = 0);
int seek_break_least_squares(const std::vector<double>& wanted, const std::vector<double>& weight);

}  // namespace leverwright::keyboard

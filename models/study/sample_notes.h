// How many sample notes it takes to tell two remedies apart.
//
// On each of n sample notes the difference of a measure between remedies A and B is found:
//
//   d_j = delta + c + e_j,   e_j ~ N(0, s^2) new on every note,   c ~ N(0, u^2) the same on all notes
//
// Their mean has variance s^2 / n + u^2. A two-sided test at confidence 1 - alpha sees a true delta with
// probability 1 - beta when (far tail neglected, under 1e-4 here)
//
//   |delta| >= (z_{1-alpha/2} + z_{1-beta}) sqrt(s^2 / n + u^2) = Z sqrt(s^2 / n + u^2)
//   n >= Z^2 s^2 / (delta^2 - Z^2 u^2)                                             (z: s known beforehand)
//
// With |delta| <= Z u no number of notes is enough: c does not average out. When s has to be found from the
// same notes, the paired t test takes the place of z: the least n at which the noncentral t distribution with
// n - 1 degrees of freedom and noncentrality sqrt(delta^2 - Z^2 u^2) sqrt(n) / s gives the power asked
// ([@cohen1988], ch. 2, with u = 0).
//
// Assumed: errors normal, notes independent, each note serves both remedies (paired), and every note of the
// piano differs between the remedies by the same delta up to e_j.
#pragma once
#include <vector>

#include "models/study/compare.h"

namespace leverwright::study {

enum class Scatter { kKnown, kFromTheNotes };

// 0: no number of notes is enough. At least 1 (known) or 2 (from the notes); never more than kMostNotes.
int notes_needed(double delta, double s, double u, Scatter scatter, double confidence = 0.95,
                 double power = 0.8);
inline constexpr int kMostNotes = 100000;

// Two set-ups and one measure.
struct NotesPlan {
  std::size_t a = 0, b = 0;
  MeasureIndex measure = kDownWeight;
  double difference = 0;  // b less a, as predicted, SI
  // Predicted: each sample note is measured afresh and its answers computed. s: what is measured or done anew
  // on every note; u: what all notes share (estimated constants, where stack and string stand).
  double predicted_scatter = 0, predicted_common = 0;
  int notes_predicted = 0;
  // Tried: both remedies are done on the sample notes, each regulated and weighed. s: two readings and how
  // exactly the work comes out on each note; u: 0, the same hand, weights and gauges serve both. NaN and 0
  // for what a bench cannot read.
  double tried_scatter = 0;
  int notes_tried = 0;
};

// All pairs of set-ups that could be weighed, for the measures that a bench reads; those that the policy
// keeps are left out. Empty without uncertainties.
std::vector<NotesPlan> plan_sample_notes(const Comparison& comparison);

}  // namespace leverwright::study

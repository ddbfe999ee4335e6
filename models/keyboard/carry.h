// Readings on a few sample notes carried to all 88, and how sure each of them is.
//
//   y_j = x(n_j)^T beta + u_j + e_j,   u_j ~ N(0, tau^2),   e_j ~ N(0, s_j^2)
//
// n note number, t = (n - 44.5) / 43.5; x(n) = (P_0(t) ... P_k(t)) Legendre polynomials, and where naturals
// and sharps are kept apart one more entry, 1 on a sharp and 0 on a natural: parallel lines. u_j is what
// makes a note its own (a hammer heavier than its neighbours): it belongs to the note. e_j is the reading's
// error, s_j known. A note's own value, without the reading's error, is z = x^T beta + u.
//
//   V = diag(s_j^2 + tau^2),   beta = C X^T V^-1 y,   C = (X^T V^-1 X)^-1
//   tau^2 >= 0 with sum_j r_j^2 / (s_j^2 + tau^2) = N - p, zero where that sum is smaller already
//        [@paule1982]
//   best linear prediction of z at note n, with c_j = tau^2 where sample j is this very note, else 0
//        ([@robinson1991], from memory):
//     z^ = x^T beta + c^T V^-1 (y - X beta)
//     var = tau^2 - c^T V^-1 c + d^T C d,   d = x - X^T V^-1 c
//
// So a note that was measured keeps its own reading as far as the reading is surer than the line; with
// readings without error it is reproduced exactly. Bands use Student's t with N - p degrees of freedom,
// because tau is found from the same few samples. `sigma` is half of the 68.27 % band, `band` half of the 95
// % band.
//
// The degree k is what the law of the quantity says (a straight line for key lengths, a parabola for strike
// weight), lowered while fewer than kLeastFreedom degrees of freedom are left. With none left tau cannot be
// found: it is taken as 0 and said so. Beyond the outermost samples (of its own kind where kept apart) a note
// is marked as extrapolated: its band grows with the polynomial, but only if the law still holds there.
//
// Where the scatter is known from elsewhere nothing is found from the samples but the line: bands are then
// normal, and the degree is lowered only where the samples do not fix the line at all. Three samples serve
// well then; without, their one degree of freedom makes 95 % bands 6.5 times as wide (Student 12.7
// against 1.96).
//
// Outlier: left out, the other samples say y^_j with variance x^T C x + tau^2 + s_j^2 (all found without it);
// it is one when |y_j - y^_j| exceeds that by Student's t at 2 % over all samples (Bonferroni). It is named
// and kept: whoever measured decides.
//
// More samples, spread as these are, shrink d^T C d in proportion to 1/N and Student's factor with N; tau
// stays. `samples_to_halve` is how many more bring the mean 95 % band of the notes not measured to half; 0:
// none is enough, because tau alone is more than that.
//
// Assumed: notes independent of one another, scatter the same all over the keyboard, errors normal.
#pragma once
#include <string>
#include <vector>

#include "models/keyboard/layout.h"

namespace leverwright::keyboard {

inline constexpr int kLeastFreedom = 1, kMostSamplesAsked = 1000;

struct Sample {
  int note = 0;
  double value = 0, sigma = 0;  // of the reading
};

struct Law {
  int degree = 1;
  bool apart = false;     // naturals and sharps each their own line
  bool one_kind = false;  // ought to be apart, but one kind alone was measured: the other is extrapolated
  bool lumpy = false;     // goes in whole pieces (leads): a sample off the line is no outlier
  // tau, where it is known from elsewhere (a whole set weighed once); negative: found from the samples.
  double scatter = -1;
};

struct CarriedNote {
  double value = 0, sigma = 0, band = 0;  // this note's own
  double line = 0, line_sigma = 0;        // the smooth law alone, without a note's own scatter
  bool extrapolated = false, measured = false;
};

struct JudgedSample {
  int note = 0;
  double value = 0, sigma = 0;
  double expected = 0, expected_sigma = 0;  // by the other samples, of a reading; NaN: they cannot say
  bool outlier = false;
};

struct Carried {
  std::vector<CarriedNote> notes;  // 88
  std::vector<JudgedSample> samples;
  int degree = 0, freedom = 0;
  bool apart = false, scatter_known = false;
  double scatter = 0;                                           // tau
  double sharp_less_natural = 0, sharp_less_natural_sigma = 0;  // where apart
  int samples_to_halve = 0;
  const CarriedNote& at(int note) const { return notes[static_cast<std::size_t>(note - 1)]; }
};

// Needs at least one sample, and where apart one natural and one sharp; else std::logic_error (the reader
// checks before).
Carried carry(const std::vector<Sample>& samples, const Law& law);

}  // namespace leverwright::keyboard

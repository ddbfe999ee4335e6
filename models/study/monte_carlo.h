// Uncertainty by drawing: every uncertain input is drawn from its distribution and the whole answer is worked
// out again, so no straight line is laid through anything.
//
//   +-                      normal with that standard deviation (a friction drawn below nothing is nothing)
//   estimate with a range   uniform over the range
//
// In one sample an input has one value for all set-ups: what is common cancels in a difference, as it does in
// the piano. The value belongs to (seed, input, sample) alone (counter_random.h): same seed, same bits, for
// any number of threads, and adding an input leaves the draws of the others as they were. A sample in which a
// set-up cannot be regulated or weighed counts as failed for it, and for its difference from the base; the
// numbers are of those that did not fail.
//
// Against the linear result: with n samples of standard deviation s and kurtosis k the mean is known to
// s / sqrt(n) and s itself to (s / 2) sqrt((k - 1) / n). Linear and drawn agree when
//     |s - sigma| <= 2.58 (s / 2) sqrt((k - 1) / n) + 0.1 sigma     and
//     |mean - value| <= 2.58 s / sqrt(n) + 0.2 s
// that is within what 99 % of draws would show, plus a tenth of sigma and a fifth of s that change no
// verdict.
//
// First-order share of an input: the part of the variance that would go if it were known, Var(E(y | x)) /
// Var(y) [@sobol2001], from the same samples: sorted by x into B bins of
// equal count, share = (SS_between - (B - 1) MS_within) / SS_total. The second term takes off what mere
// chance puts between the bins.
#pragma once
#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "models/study/inputs.h"
#include "models/study/judgement.h"
#include "models/study/measures.h"

namespace leverwright::study {

struct MonteCarloOptions {
  int samples = 0;
  std::uint64_t seed = 1;
};

// How a quantity lies over the samples, SI.
struct Spread {
  int count = 0;              // samples that did not fail
  double mean = 0, sd = 0;    // NaN with fewer than two
  double low = 0, high = 0;   // 2.5 and 97.5 percentile
  double sd_error = 0;        // standard error of sd
  std::string dominant;       // input with the largest first-order share
  double dominant_share = 0;  // NaN with fewer than kLeastForShares samples
};
inline constexpr int kLeastForShares = 50;

struct SampledMeasure {
  Spread value, difference;
  // Share of the samples in which the set-up lies nearer to what is wanted than the base does, among those in
  // which the distances differ: the odds of the judgement. NaN: not judged.
  double nearer = 0;
  Judgement judgement = Judgement::kNone;
  bool value_agrees = true, difference_agrees = true;  // with the linear result
};

struct MonteCarlo {
  int asked = 0, done = 0;
  std::uint64_t seed = 0;
  std::vector<int> failed;                                         // by set-up
  std::vector<std::map<std::string, int>> failed_for;              // by set-up: reason and how often
  std::vector<std::array<SampledMeasure, kMeasureCount>> set_ups;  // the base first
  std::vector<std::string> disagreements;  // where the linear result is off, and by how much, in words
};

// The draw of one input in one sample, in standard deviations from its value.
double draw(const Input& input, const std::string& set_up_name, std::uint64_t seed, std::uint64_t sample);

// `f(sample)` for samples 0 to n - 1 in parallel; the results in order. `progress` may stop it: then those
// finished in a row from the first are returned.
using SampleOutput = std::vector<Measures>;  // one for each set-up
std::vector<SampleOutput> run_samples(int n, const std::function<SampleOutput(int)>& f,
                                      const std::function<bool(double share)>& progress = {});

// Statistics of `y`, NaN where a sample failed. `x[i][sample]` are the draws of input i; both sets in the
// same order. `names` as x.
Spread describe_spread(const std::vector<double>& y, const std::vector<std::vector<double>>& x,
                       const std::vector<std::string>& names);

// Var(E(y | x)) / Var(y), estimated as above; at least 0.
double first_order_share(const std::vector<double>& x, const std::vector<double>& y);

bool agrees_with_linear(const Spread& spread, double value, double sigma);

}  // namespace leverwright::study

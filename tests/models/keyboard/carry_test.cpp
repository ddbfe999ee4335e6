#include "models/keyboard/carry.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace leverwright::keyboard {
namespace {

const std::vector<int> kNotes = {4, 14, 28, 40, 41, 64, 67, 83};

double t_of(int note) { return (note - 44.5) / 43.5; }

TEST(Carry, FollowsALawWithoutErrorExactly) {
  const auto truth = [](int n) {
    return 9.3 - 3.1 * t_of(n) - 0.75 * t_of(n) * t_of(n) - (is_sharp(n) ? 0.4 : 0);
  };
  std::vector<Sample> samples;
  for (const int n : kNotes) samples.push_back({n, truth(n), 0});
  const Carried c = carry(samples, {2, true});
  EXPECT_EQ(c.degree, 2);
  EXPECT_EQ(c.freedom, 4);
  EXPECT_NEAR(c.sharp_less_natural, -0.4, 1e-9);
  for (int n = kFirstNote; n <= kLastNote; ++n) EXPECT_NEAR(c.at(n).value, truth(n), 1e-9) << n;
  for (const JudgedSample& s : c.samples) EXPECT_FALSE(s.outlier) << s.note;
}

// Straight line through equal errors: var(x0) = s^2 (1/N + (x0 - mean)^2 / sum (x - mean)^2).
TEST(Carry, BandOfAStraightLineIsTheTextbooks) {
  const double s = 0.5, t975_4 = 2.776445;  // Student, 4 degrees of freedom, from tables
  std::vector<Sample> samples;
  double mean = 0, square = 0;
  const std::vector<int> notes = {4, 16, 28, 40, 64, 83};
  // Residuals far under the readings' error: no scatter beside it.
  for (std::size_t k = 0; k < notes.size(); ++k) {
    samples.push_back({notes[k], 20 - 0.1 * notes[k] + (k % 2 ? 0.05 : -0.05), s});
    mean += notes[k] / 6.0;
  }
  for (const int n : notes) square += (n - mean) * (n - mean);
  const Carried c = carry(samples, {1, false});
  EXPECT_EQ(c.scatter, 0);
  for (const int n : {1, 20, 50, 88}) {
    const double expected = t975_4 * s * std::sqrt(1.0 / 6 + (n - mean) * (n - mean) / square);
    EXPECT_NEAR(c.at(n).band, expected, 1e-5 * expected) << n;
    EXPECT_EQ(c.at(n).extrapolated, n < 4 || n > 83);
  }
  EXPECT_GT(c.at(88).band, c.at(50).band);
}

// Readings without error scatter about the line: tau^2 is the residual variance, a measured note is itself.
TEST(Carry, AMeasuredNoteKeepsItsOwnReading) {
  std::vector<Sample> samples;
  const double departure[] = {0.4, -0.9, 0.7, -0.1, 0.3, -0.4};
  const int notes[] = {4, 16, 28, 40, 64, 83};
  for (int k = 0; k < 6; ++k) samples.push_back({notes[k], 12 - 0.08 * notes[k] + departure[k], 0});
  const Carried c = carry(samples, {1, false});
  double squares = 0;
  for (int k = 0; k < 6; ++k) {
    EXPECT_NEAR(c.at(notes[k]).value, samples[static_cast<std::size_t>(k)].value, 1e-9);
    EXPECT_NEAR(c.at(notes[k]).band, 0, 1e-6);
    EXPECT_TRUE(c.at(notes[k]).measured);
    squares += std::pow(samples[static_cast<std::size_t>(k)].value - c.at(notes[k]).line, 2);
  }
  EXPECT_NEAR(c.scatter, std::sqrt(squares / 4), 1e-6);
  EXPECT_GT(c.at(50).band, 2 * c.scatter);
}

// With known variances the note's own value lies between line and reading as their precisions say, up to what
// the line itself is drawn towards the reading: 200 other notes pin it.
TEST(Carry, ReadingAndLineShareByTheirPrecision) {
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  std::vector<Sample> samples;
  for (int n = 1; n <= 88; ++n) samples.push_back({n, 10 + 0.3 * normal(random) + 0.4 * normal(random), 0.4});
  const Carried c = carry(samples, {0, false});
  EXPECT_NEAR(c.scatter, 0.3, 0.08);
  const double tau2 = c.scatter * c.scatter, share = tau2 / (tau2 + 0.16);
  for (const int n : {7, 33, 70}) {
    const double reading = samples[static_cast<std::size_t>(n - 1)].value;
    EXPECT_NEAR(c.at(n).value, c.at(n).line + share * (reading - c.at(n).line), 1e-9);
  }
}

struct Drawn {
  std::vector<Sample> samples;
  std::vector<double> truth;  // 88
};
Drawn draw(std::mt19937& random, double tau, double s, const std::vector<int>& notes = kNotes) {
  std::normal_distribution<double> normal;
  Drawn d;
  for (int n = 1; n <= 88; ++n)
    d.truth.push_back(30 - 12 * t_of(n) + (is_sharp(n) ? 2 : 0) + tau * normal(random));
  for (const int n : notes)
    d.samples.push_back({n, d.truth[static_cast<std::size_t>(n - 1)] + s * normal(random), s});
  return d;
}

TEST(Carry, NinetyFivePerCentBandsCoverWhatTheySay) {
  struct Way {
    double tau, s;
  };
  for (const Way way : {Way{0.5, 0.5}, Way{1.0, 0.2}, Way{0.0, 0.5}}) {
    std::mt19937 random(11);
    int inside = 0, all = 0;
    for (int k = 0; k < 400; ++k) {
      const Drawn d = draw(random, way.tau, way.s);
      const Carried c = carry(d.samples, {1, true});
      for (int n = 1; n <= 88; n += 3) {
        inside += std::abs(c.at(n).value - d.truth[static_cast<std::size_t>(n - 1)]) <= c.at(n).band;
        ++all;
      }
    }
    const double share = static_cast<double>(inside) / all;
    RecordProperty(way.tau > way.s ? "scatter_beyond_readings"
                   : way.tau > 0   ? "alike"
                                   : "no_scatter",
                   std::to_string(share));
    EXPECT_GT(share, 0.90) << way.tau << " " << way.s;
    EXPECT_LT(share, way.tau > 0 ? 0.98 : 0.995) << way.tau << " " << way.s;
  }
}

// Three samples, as many a technician takes. With the scatter known the bands are normal and narrow enough to
// use; without, one degree of freedom makes them honest and wide.
TEST(Carry, ThreeSamplesServeWhereTheScatterIsKnown) {
  const std::vector<int> three = {4, 40, 83};
  std::mt19937 random(21);
  int inside = 0, wide_inside = 0, all = 0;
  double narrow = 0, wide = 0;
  for (int k = 0; k < 600; ++k) {
    std::normal_distribution<double> normal;
    std::vector<double> truth;
    std::vector<Sample> samples;
    for (int n = 1; n <= 88; ++n) truth.push_back(9 - 3 * t_of(n) + 0.15 * normal(random));
    for (const int n : three)
      samples.push_back({n, truth[static_cast<std::size_t>(n - 1)] + 0.1 * normal(random), 0.1});
    Law known{1, false};
    known.scatter = 0.15;
    const Carried a = carry(samples, known), b = carry(samples, {1, false});
    EXPECT_EQ(a.degree, 1);
    EXPECT_TRUE(a.scatter_known);
    for (int n = 2; n <= 88; n += 7) {
      const double z = truth[static_cast<std::size_t>(n - 1)];
      inside += std::abs(a.at(n).value - z) <= a.at(n).band;
      wide_inside += std::abs(b.at(n).value - z) <= b.at(n).band;
      narrow += a.at(n).band;
      wide += b.at(n).band;
      ++all;
    }
  }
  EXPECT_NEAR(static_cast<double>(inside) / all, 0.95, 0.02);
  EXPECT_GT(static_cast<double>(wide_inside) / all, 0.93);
  EXPECT_GT(wide, 3 * narrow);
}

TEST(Carry, NamesTheOneThatIsNotLikeTheOthers) {
  std::mt19937 random(5);
  int named = 0, others = 0, alarms = 0;
  for (int k = 0; k < 200; ++k) {
    Drawn d = draw(random, 0.1, 0.2);
    for (const JudgedSample& s : carry(d.samples, {1, true}).samples) alarms += s.outlier;
    d.samples[5].value += 3;
    for (const JudgedSample& s : carry(d.samples, {1, true}).samples)
      (s.note == d.samples[5].note ? named : others) += s.outlier;
  }
  EXPECT_GT(named, 180);
  EXPECT_LE(others, 2);
  EXPECT_LT(alarms, 12) << "2 % of 200 sheets are 4";
}

TEST(Carry, LowersTheDegreeWhereThereAreTooFewSamples) {
  const std::vector<Sample> three = {{1, 12, 0.1}, {40, 9.6, 0.1}, {88, 5.1, 0.1}};
  EXPECT_EQ(carry(three, {2, false}).degree, 1) << "one degree of freedom is left";
  const std::vector<Sample> four = {{1, 12, 0.1}, {30, 10.1, 0.1}, {60, 8, 0.1}, {88, 5.1, 0.1}};
  EXPECT_EQ(carry(four, {3, false}).degree, 2);
  // Two notes of two kinds: nothing is left to tell the scatter from.
  const Carried two = carry({{40, 232, 1}, {41, 197, 1}}, {1, true});
  EXPECT_EQ(two.degree, 0);
  EXPECT_FALSE(two.scatter_known);
  EXPECT_NEAR(two.sharp_less_natural, -35, 1e-9);
  EXPECT_THROW(carry({{40, 1, 1}, {52, 1, 1}, {64, 1, 1}}, {1, true}), std::logic_error);
}

// Without scatter the band's variance goes with 1/N: to halve the band takes three times as many again (a
// little less, Student's factor falls too). With nothing but scatter no number is enough.
TEST(Carry, SaysHowManyMoreSamplesHalveTheBand) {
  std::vector<Sample> quiet, lumpy;
  for (int n = 2; n <= 80; n += 2) {
    quiet.push_back({n, 5.0 + (n % 4 ? 0.01 : -0.01), 0.3});
    lumpy.push_back({n, 5.0 + (n % 4 ? 0.3 : -0.3), 0.0});
  }
  EXPECT_NEAR(carry(quiet, {1, false}).samples_to_halve, 120, 8);
  EXPECT_EQ(carry(lumpy, {1, false}).samples_to_halve, 0);
}

}  // namespace
}  // namespace leverwright::keyboard

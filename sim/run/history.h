// Given functions of time: a force, a travel. Each names the times at which it is not smooth, so that an
// integrator can stop and start again there.
//
// All are continuous; before the first and after the last point the value is held. At a point the
// derivatives are those to its right.
//   LinearHistory  straight lines through (t, value)
//   RampHistory    steps between the values, each over the whole interval between its two times:
//                  half cosine  s = (1 - cos(pi x)) / 2          C1, second derivative jumps at the ends
//                  quintic      s = 10 x^3 - 15 x^4 + 6 x^5      C2
//   SplineHistory  natural-looking cubic B-spline through evenly spaced samples (Boost.Math), C2 between its
//   ends,
//                  starting and ending at rest (end slopes zero) so that it joins the held values C1
#pragma once
#include <memory>
#include <vector>

namespace leverwright::run {

struct Instant {
  double value = 0, rate = 0, second = 0;  // and first and second derivative with respect to time
};

class History {
 public:
  virtual ~History() = default;
  virtual Instant at(double t) const = 0;
  virtual void add_breakpoints(std::vector<double>& times) const = 0;
};

class LinearHistory : public History {
 public:
  // times rising strictly; as many values.
  LinearHistory(std::vector<double> times, std::vector<double> values);
  Instant at(double t) const override;
  void add_breakpoints(std::vector<double>& times) const override;

 private:
  std::vector<double> t_, y_;
};

enum class RampShape { kHalfCosine, kQuintic };

class RampHistory : public History {
 public:
  RampHistory(RampShape shape, std::vector<double> times, std::vector<double> values);
  Instant at(double t) const override;
  void add_breakpoints(std::vector<double>& times) const override;

 private:
  RampShape shape_;
  std::vector<double> t_, y_;
};

class SplineHistory : public History {
 public:
  // At least 5 samples, at start + k * spacing.
  SplineHistory(double start, double spacing, const std::vector<double>& samples);
  ~SplineHistory() override;
  Instant at(double t) const override;
  void add_breakpoints(std::vector<double>& times) const override;

 private:
  struct Curve;
  std::unique_ptr<Curve> curve_;
  double start_, end_, first_, last_;
};

}  // namespace leverwright::run

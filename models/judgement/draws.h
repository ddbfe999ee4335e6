// Draws of a question's values: normals by counter, so that they do not depend on who asks first. Every draw
// comes with its mirror image, so that means of linear things are exact.
#pragma once
#include <vector>

#include "models/judgement/question.h"

namespace leverwright::judgement {

class Draws {
 public:
  static constexpr std::size_t kCount = 4000;
  explicit Draws(std::size_t doubts);
  // Adds the draws of x to `out` (kCount long); nothing where x is unknown.
  void add(const Doubtful& x, std::vector<double>& out) const;
  std::vector<double> of(const Doubtful& x) const;
  // Share of each doubt in the variance of y as far as y is linear in it: correlation squared.
  std::vector<double> shares(const std::vector<double>& y) const;

 private:
  std::vector<std::vector<double>> z_;  // [doubt][draw]
};

double sigma_of(const Doubtful& x);

}  // namespace leverwright::judgement

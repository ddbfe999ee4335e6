#include "sim/base/statistics.h"

#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <boost/math/special_functions/legendre.hpp>

namespace leverwright::base {

namespace bm = boost::math;

double find_normal_quantile(double probability) { return quantile(bm::normal(), probability); }

double find_student_quantile(double freedom, double probability) {
  return quantile(bm::students_t(freedom), probability);
}

double find_power_of_t(double freedom, double shift, double critical) {
  const bm::non_central_t t(freedom, shift);
  return cdf(bm::complement(t, critical)) + cdf(t, -critical);
}

double find_chi_squared_chance(double freedom, double value) {
  return cdf(bm::complement(bm::chi_squared(freedom), value));
}

double find_legendre(int degree, double t) { return bm::legendre_p(degree, t); }

}  // namespace leverwright::base

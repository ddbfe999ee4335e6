// Distributions used to say how sure an answer is. Boost's headers for them cost a file that includes them 10
// to 30 s to compile: they are included by statistics.cpp alone.
#pragma once

namespace leverwright::base {

// The value a standard normal stays below with this probability, 0 < probability < 1.
double find_normal_quantile(double probability);
// The same of Student's t; `freedom` > 0, degrees of freedom.
double find_student_quantile(double freedom, double probability);
// Probability that |t| is beyond `critical` when t is Student's with `freedom`, moved by `shift` standard
// errors (non-central): the power of a two-sided t test.
double find_power_of_t(double freedom, double shift, double critical);
// Probability that chi squared of `freedom` degrees of freedom is above `value`.
double find_chi_squared_chance(double freedom, double value);
// Legendre's polynomial of this degree at t, -1 <= t <= 1.
double find_legendre(int degree, double t);

}  // namespace leverwright::base

// Leads for a wanted front weight: how many, which of the stock, and where in the keystick.
//
// A lead of mass m at distance d from the balance hole (positive towards the player) adds m d to the key's
// first moment, so g m d / A to the front weight read at A, and m d^2 to its moment of inertia, so m d^2 /
// A^2 to the mass that the finger meets at the playing point. For a given first moment M = sum m d
//
//   sum m d^2  with one lead:  M d       the further out, the less lead and the more inertia
//   ten leads at d / 10 or one at d: the same front weight, a tenth of the inertia
//
// (closed form; pianotech list archive 2006-07 #192948: 12 g at 10 cm against 24 g at 5 cm, 1200 against
// 600 g cm2). Therefore three answers are given:
//   fewest         as few leads as reach M, among those the least inertia (fewest holes)
//   least inertia  up to `most` leads, close to the balance rail (heavy, quick)
//   least lead     up to `most` leads, far out (light, but the slowest key)
//
// Places stand on a grid of `step` between `from` and `to`, holes at least `spacing` apart. The choice is
// exact on that grid: with f_k(p, M) the least cost of k leads at places up to p with first moment M,
//
//   f_k(p, M) = min( f_k(p - 1, M),
//                    min over the stock m of  f_{k-1}(p - spacing, M - m d_p) + cost(m, d_p) )
//
// M in bins of 1 g mm, each lead's moment rounded to the nearest: at most 0.5 g mm per lead, 0.002 gf at 250
// mm. A key that is too heavy in front asks for M < 0: then leads go behind the balance hole (`rear_from`,
// `rear_to`).
#pragma once
#include <memory>
#include <vector>

#include "models/case_file/static_balance.h"

namespace leverwright::keyboard {

struct LeadRules {
  std::vector<double> stock = {14e-3};  // kg
  double from = 60e-3, to = 200e-3;     // m in front of the balance hole
  double rear_from = 0, rear_to = 0;    // m behind it; 0 to 0: none allowed there
  double step = 1e-3, spacing = 16e-3;  // m
  int most = 5;
  double tolerance = 0.1 * 9.80665e-3;  // N of front weight
};

enum class LeadWish { kFewest, kLeastInertia, kLeastLead, kCount };

struct LeadPlan {
  bool found = false;                           // within the tolerance
  std::vector<case_file::PlacedMass> leads;     // from the balance hole outwards
  double front_weight = 0, error = 0;           // N, what they add and by how much that misses
  double mass = 0, inertia = 0, reflected = 0;  // kg, kg m2, kg at the playing point
};

// All choices of one wish; asking is quick, building takes the table above.
class LeadTable {
 public:
  // `greatest`: the largest |first moment| that will be asked for [kg m].
  LeadTable(const LeadRules& rules, LeadWish wish, double greatest);
  ~LeadTable();
  // Leads that add `front_weight` [N] at the playing point `front_length` [m] from the balance hole. Nothing
  // asked (within the tolerance): found, without leads. Out of reach: the nearest, not found.
  LeadPlan choose(double front_weight, double front_length) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

// First moment (kg m) that adds this front weight.
double lead_moment_for(double front_weight, double front_length);

}  // namespace leverwright::keyboard

// Weighing a regulated action slowly: down weight, up weight, friction, ratios, let-off resistance.
//
// The key is led down and up again twice on the dissipative quasi-static path (run/statics.h); the second
// round counts, so that every surface and bushing has already been rubbed both ways.
//   down weight D   maximum of F_down between 1 mm of dip and the dip at which the tender meets its button or
//   the
//                   lever its drop screw, whichever comes first
//   up weight U     minimum of F_up in the same window
//   balance weight  (D + U)/2;  friction (D - U)/2
//   mean_down, mean_up  means of the two forces over that window (they differ from D and U by some gf)
//   distance ratio  strike-point travel over playing-point travel: curve, and mean from rest to let-off
//   weight ratio    (BW + FW - WW KR)/SW, KR the ratio of the key's horizontal arms at rest
//   lever product   product of the straight arms at half stroke; off by 4 to 20 % on a real geometry
//   let-off resistance  greatest F_down from the tender's contact to let-off, less F_down just before the
//   contact
#pragma once
#include <string>
#include <vector>

#include "models/action/regulate.h"
#include "models/action/self_locking.h"
#include "sim/run/statics.h"

namespace leverwright::action {

struct WeighOptions {
  double step = 0.05e-3;      // of dip [m]
  double window_from = 1e-3;  // [m]
  bool whole_stroke =
      true;  // false: without let-off resistance, lever product and heel warnings, for repeated use
};

// A jammed action (self_locking.h) is reported in words, Weighing::failure, never weighed.
struct Weighing {
  bool ok = false;
  std::string failure;                      // what stopped the path, in words
  std::vector<run::StaticSample> down, up;  // travel = dip from rest [m]; up is ordered by dip as well
  double window_from = 0, window_to = 0;
  double down_weight = 0, up_weight = 0, dip_of_down_weight = 0, dip_of_up_weight = 0;  // N, m
  double balance_weight = 0, friction = 0, mean_down = 0, mean_up = 0;
  double distance_ratio = 0, weight_ratio = 0, lever_product = 0, key_ratio = 0;
  double let_off_resistance = 0;  // N
  double worst_ledger = 0;        // largest relative misfit of force against ledger
  Jam jam;
  std::vector<std::string> warnings;
};

Weighing weigh(const Action& action, const Regulated& regulated, const WeighOptions& options = {});

// What a technician needs at the bench, beside the weights. SI.
struct BenchNotes {
  double shank_rest_gap = 0;  // shank to rest cushion at rest; negative: the cushion carries it
  double jack_depth_at_dip =
      0;  // how far the knuckle has the jack beyond its edge at full dip (clear of it when > 0)
  double jack_clearance_at_dip = 0;  // jack top to knuckle at full dip
  double cap_edge_margin =
      0;                   // least distance of the contact from the end of the cap's dome, over the stroke
  double face_margin = 0;  // least distance of the contact from the ends of the lifting face, over the stroke
  double cap_to_cloth_edge = 0;   // cap's edge to the nearer end of the heel's cloth at half stroke
  double line_distance_half = 0;  // contact to the line of centres at half stroke (positive: above)
  double lead_mass = 0,
         lead_distance = 0;  // lead that restores a given balance weight: kg at m in front of the balance
  double key_mass_reflected = 0;
};
BenchNotes find_bench_notes(const Action& action, const Regulated& regulated, const Weighing& weighing);

// Reflected inertia at the playing point at a dip, kg, as shares of the bodies (key, wippen, jack, lever,
// hammer).
std::array<double, kBodyCount> find_reflected_mass(const Action& action, const run::StaticSample& sample);

}  // namespace leverwright::action

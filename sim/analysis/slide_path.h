// Slide path: where two surfaces meet over a stroke, and how far they slide there.
//
// Contact path and slide are different numbers. The contact wanders over each surface by `path_a`, `path_b`
// (a rolling dome has long paths and no slide); the slide is the integral of |t . (v_b - v_a)| of the
// material points that meet. Strips of a patch (contacts of one group) are taken together, weighted by their
// normal force. Facts only: what they mean for a capstan or a heel is said where the parts are known.
#pragma once
#include <vector>

#include "sim/run/statics.h"

namespace leverwright::analysis {

using base::Vec2;

// Where and how one group bears at one sample. Forces are those on body b.
struct SlidePoint {
  double travel = 0;
  bool touching = false;
  bool at_a_place =
      false;  // false: a stop about a joint, which acts at no place; p, force and normal_force stay 0
  Vec2 p = Vec2::Zero();        // W [m]
  double s_a = 0, s_b = 0;      // on each surface [m], as the contact counts it
  double from_b = 0, to_b = 0;  // extent of the bearing surface on b at this instant [m]
  double depth = 0;             // of the deepest strip [m]
  double normal = 0;            // [N]
  double tangential = 0;        // friction force on the slip direction [N]
  Vec2 normal_force = Vec2::Zero(), force = Vec2::Zero();  // W; normal part, and with friction [N]
  double slip_rate = 0;                                    // per unit of travel, signed [1]
  double friction = 0;                                     // dissipated per unit of travel [N]
  double slid = 0, work = 0;  // slide [m] and dissipation [J] since the path's first sample
  double line_distance = 0;   // from the line of instantaneous centres, positive on the left from a to b [m]
  bool has_line = false;
  bool on_edge = false;  // some of it bears on the cap's fillet or side
};

struct Range {
  double from = 0, to = 0;
};

struct SlidePath {
  std::vector<SlidePoint> points;  // one per sample, in the samples' order
  double path_a = 0, path_b = 0;   // length of the contact's way over each surface [m]
  double slide = 0;                // [m]
  int reversals = 0;  // changes of the slip's direction (slides under a tenth of a micrometre do not count)
  double friction_work = 0;           // [J]
  double largest_normal = 0;          // [N]
  double mark_from = 0, mark_to = 0;  // extent of the mark on b [m]
  bool touched = false;               // it bore somewhere; without that the ranges are empty
  Range over_a, over_b;               // of the middle of the bearing surface on either body [m]
  Range normal;                       // [N]
  double travel_on_edge = 0;          // how much of the travel the cap bears on its edge [m]
  std::vector<double> crossings;      // travel at which the contact crosses the line of centres [m]
};

// `group`: an index into Mechanism::groups(). Where it bears less than `least_normal` it counts as open.
SlidePoint find_slide_point(const run::Mechanism& mechanism, const run::StaticSample& sample, int group,
                            planar::Scratch& scratch, double least_normal = 0);

// `samples` in the order of travel, rising or falling, all of one stroke. Between samples rates are taken as
// straight lines; where only one of two neighbours touches, nothing is counted.
SlidePath find_slide_path(const run::Mechanism& mechanism, const std::vector<run::StaticSample>& samples,
                          int group, double least_normal = 0);

// Slide and dissipation from the path's first sample to a travel within it.
double slide_to(const SlidePath& path, double travel);
double friction_work_to(const SlidePath& path, double travel);

}  // namespace leverwright::analysis

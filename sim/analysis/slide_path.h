// Slide path: where two surfaces meet over a stroke, and how far they slide there.
//
// Contact path and slide are different numbers. The contact wanders over each surface by `path_a`, `path_b`
// (a rolling dome has long paths and no slide); the slide is the integral of |t . (v_b - v_a)| of the
// material points that meet. Strips of a patch (contacts of one group) are taken together, weighted by their
// normal force. Facts only: what they mean for a capstan or a heel is said where the parts are known.
#pragma once
#include <string>
#include <vector>

#include "sim/run/statics.h"

namespace leverwright::analysis {

using base::Vec2;

struct SlidePoint {
  double travel = 0;
  bool touching = false;
  Vec2 p = Vec2::Zero();        // W [m]
  double s_a = 0, s_b = 0;      // on each surface [m], as the contact counts it
  double from_b = 0, to_b = 0;  // extent of the bearing surface on b at this instant [m]
  double normal = 0;            // [N]
  double tangential = 0;        // friction force on the slip direction [N]
  double slip_rate = 0;         // per unit of travel, signed [1]
  double friction = 0;          // dissipated per unit of travel [N]
  double line_distance =
      0;  // from the line of instantaneous centres, positive on the left from a to b; 0 without one [m]
  bool has_line = false;
  bool on_edge = false;  // some of it bears on the cap's fillet or side
};

struct SlidePath {
  std::vector<SlidePoint> points;  // one per sample, in the samples' order
  double path_a = 0, path_b = 0;   // length of the contact's way over each surface [m]
  double slide = 0;                // [m]
  int reversals = 0;  // changes of the slip's direction (slides under a tenth of a micrometre do not count)
  double friction_work = 0;           // [J]
  double largest_normal = 0;          // [N]
  double mark_from = 0, mark_to = 0;  // extent of the mark on b [m]
  double travel_on_edge = 0;          // how much of the travel the cap bears on its edge [m]
  std::vector<double> crossings;      // travel at which the contact crosses the line of centres [m]
};

// `samples` in the order of travel, rising or falling, all of one stroke.
SlidePath find_slide_path(const run::Mechanism& mechanism, const std::vector<run::StaticSample>& samples,
                          const std::string& group);

}  // namespace leverwright::analysis

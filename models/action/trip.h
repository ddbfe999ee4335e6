// Let-off button and drop screw, solved for let-off and drop on the slow path (slow_path.h).
#pragma once
#include <vector>

#include "models/action/rest_position.h"
#include "models/action/slow_path.h"

namespace leverwright::action {

struct TripSolution {
  double button = 0, drop_screw = 0;  // [m] against the drawing
  TripReading reading;
  std::vector<Failure> failures;  // empty when let-off and drop are as the design specifies
};

TripSolution solve_trip(Trip& trip, const ActionDesign& design);

// Compression of the front punching under dip_force, cloth on its loading branch [m].
double punching_compression(const ActionDesign& design);

}  // namespace leverwright::action

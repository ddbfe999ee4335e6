// A window of one's own display in which a stored stroke is watched: turned, zoomed, played, scrubbed, stepped from
// event to event, with a second set-up as a ghost.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/motion.h"
#include "viz/vtk/player.h"

namespace leverwright::vtk {

struct Watched {
  std::string label;
  scene::ActionMotion motion;
};

struct WatchRequest {
  std::string title;
  std::vector<Watched> strokes;  // one, or the second as a ghost
  double from = 0, to = 0;       // s
  std::vector<NamedTime> events;
  double slow = 50;
  int width = 1280, height = 720;
  double close_after = 0;  // s of the clock on the wall; 0: when it is closed by hand
};

// Comes back when the window is closed, with the number of pictures it showed. UserError without a display.
long watch(const WatchRequest& request);

}  // namespace leverwright::vtk

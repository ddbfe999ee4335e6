#include "models/playing/touch_curves.h"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <atomic>
#include <cmath>
#include <limits>
#include <mutex>

#include "models/playing/finger_touches.h"

namespace leverwright::playing {

std::vector<TouchCurve> find_touch_curves(const case_file::CaseDescription& d, const study::SetUpResult& s,
                                          const TouchCurveOptions& options) {
  const std::size_t n = options.speeds.size();
  std::vector<TouchCurve> curves = {
      {"pressed by a force", {}}, {"pressed by a finger", {}}, {"struck by a finger", {}}};
  for (TouchCurve& c : curves) c.strokes.resize(n);
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  std::atomic<bool> stopped{false};
  std::atomic<std::size_t> done{0};
  std::mutex telling;
  tbb::parallel_for(std::size_t{0}, 3 * n, [&](std::size_t k) {
    if (stopped) return;
    const double speed = options.speeds[k / 3];
    const std::string name = fmt::format("{:g} m/s", speed);
    study::PlayedTouch& out = curves[k % 3].strokes[k / 3];
    out = k % 3 == 0 ? study::play_at_speed(name, speed, s.action, rest)
                     : play_finger_at_speed(d, s, name, speed, k % 3 == 2);
    out.stroke.series = {};  // measures and events are enough
    ++done;
    if (!options.progress) return;
    const std::lock_guard<std::mutex> lock(telling);
    if (!options.progress(static_cast<double>(done) / static_cast<double>(3 * n))) stopped = true;
  });
  return curves;
}

double find_zero_speed(const TouchCurve& curve,
                       const std::function<double(const study::PlayedTouch&)>& value) {
  double x0 = 0, y0 = std::numeric_limits<double>::quiet_NaN();
  for (const study::PlayedTouch& t : curve.strokes) {
    if (!t.found.found) continue;
    const double x = t.stroke.measures.hammer_speed, y = value(t);
    if (std::isnan(y)) continue;
    if (y0 * y <= 0) return x0 + (x - x0) * y0 / (y0 - y);
    x0 = x;
    y0 = y;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace leverwright::playing

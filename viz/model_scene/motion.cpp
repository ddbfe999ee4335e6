#include <algorithm>

#include "models/drawing/outlines.h"
#include "viz/model_scene/model_scene.h"

namespace leverwright::model_scene {

scene::ActionMotion find_motion(const action::Action& a, const planar::VecQ& rest,
                                const action::StrokeSeries& s) {
  scene::ActionMotion out;
  out.shape = find_moment(a, rest, "", true).shape;
  const std::size_t n = out.shape.bodies.size();
  out.parent.assign(n, 0);
  out.joint.assign(n, scene::Point(0, 0));
  out.angle.resize(n);
  out.speed.resize(n);
  out.slide.resize(n);
  out.slide_way.assign(n, scene::Point(0, 0));
  out.time = s.time;
  const std::vector<double> upright(s.time.size(), 0.0);
  std::size_t b = 1;  // after the ground, in the order of the outlines
  for (const auto& outline : drawing::find_body_outlines(a)) {
    out.parent[b] = index_of(out.shape, outline.parent);
    out.joint[b] = outline.joint;
    out.slide_way[b] = outline.slide_way;
    const bool turns = outline.index != drawing::kUpright;
    out.angle[b] = turns ? s.position[static_cast<std::size_t>(outline.index)] : upright;
    out.speed[b] = turns ? s.speed[static_cast<std::size_t>(outline.index)] : upright;
    if (outline.slide >= 0) out.slide[b] = s.position[static_cast<std::size_t>(outline.slide)];
    ++b;
  }
  for (const auto& p : s.places)
    if (std::any_of(p.direction.begin(), p.direction.end(), [](double d) { return d == d; }))
      out.places.push_back({p.name, p.normal, p.friction, p.x, p.y, p.direction});
  for (const std::size_t i : drawing::find_centres(a.mechanism)) {
    if (i >= s.centres.size()) break;
    const int body = index_of(out.shape, a.mechanism.pivots[i].body < action::kBodyCount
                                             ? action::kBodyNames[a.mechanism.pivots[i].body]
                                             : "");
    out.centres.push_back({s.centres[i].name, body, s.centres[i].torque});
  }
  out.string_rise = s.string_rise;
  return out;
}

}  // namespace leverwright::model_scene

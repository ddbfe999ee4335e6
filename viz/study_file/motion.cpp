#include "viz/study_file/motion.h"

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"
#include "viz/study_file/action.h"

namespace leverwright::study_file {
namespace {

// Distance slid, signed, by the trapezoidal rule.
std::vector<double> summed(const std::vector<double>& time, const std::vector<double>& speed) {
  std::vector<double> out(time.size(), 0);
  for (size_t k = 1; k < time.size() && k < speed.size(); ++k)
    out[k] = out[k - 1] + 0.5 * (speed[k] + speed[k - 1]) * (time[k] - time[k - 1]);
  return out;
}

// The centre a body turns in, by the names of the results file.
std::string centre_of(const std::string& body) {
  if (body == "key") return "balance pin";
  if (body == "damper lever") return "damper";
  return body + " centre";
}

void read_bodies(const StoredStudy& in, const SetUp& set_up, const std::string& path,
                 scene::ActionMotion* motion) {
  ActionPictures pictures;
  add_moments(in, set_up, &pictures);
  if (pictures.moments.empty() || pictures.moments[0].empty())
    throw base::UserError(in.path() + " holds no outlines of \"" + set_up.name + "\"",
                          "run the study again with this version");
  const scene::SetUpMoment& rest = pictures.moments[0].front();
  motion->shape = rest.shape;
  const size_t n = rest.shape.bodies.size();
  motion->parent.assign(n, 0);
  motion->joint.assign(n, scene::Point(0, 0));
  motion->angle.resize(n);
  motion->speed.resize(n);
  motion->slide.resize(n);
  motion->slide_way.assign(n, scene::Point(0, 0));
  size_t wippen = 0;
  for (size_t b = 0; b < n; ++b)
    if (rest.shape.bodies[b].name == "wippen") wippen = b;
  const store::Series angles = in.in().read_series(path + "/coordinates"),
                      speeds = in.in().read_series(path + "/speeds");
  const store::Series slides =
      in.in().has(path + "/slides") ? in.in().read_series(path + "/slides") : store::Series{};
  for (size_t b = 1; b < n; ++b) {
    const std::string& name = rest.shape.bodies[b].name;
    motion->angle[b] = find_column(angles, name);
    motion->speed[b] = find_column(speeds, name);
    motion->slide[b] = find_column(slides, name);
    std::string group = set_up.at + "/scene/bodies/" + name;
    std::replace(group.begin(), group.end(), ' ', '_');
    if (in.in().has_attribute(group, "parent") && in.in().has_attribute(group, "joint_x")) {
      std::string parent = in.in().text_attribute(group, "parent");
      std::replace(parent.begin(), parent.end(), '_', ' ');
      for (size_t p = 1; p < b; ++p)
        if (rest.shape.bodies[p].name == parent) motion->parent[b] = static_cast<int>(p);
      motion->joint[b] = {in.in().number_attribute(group, "joint_x"),
                          in.in().number_attribute(group, "joint_y")};
      motion->slide_way[b] = {in.in().number_attribute(group, "slide_x"),
                              in.in().number_attribute(group, "slide_y")};
      continue;
    }
    // A file that does not say: as the bodies stand at rest.
    if (name == "jack" || name == "repetition lever") motion->parent[b] = static_cast<int>(wippen);
    const scene::Pose& parent = rest.moment.poses[static_cast<size_t>(motion->parent[b])];
    const scene::Pose& own = rest.moment.poses[b];
    const double c = std::cos(parent.theta), s = std::sin(parent.theta), dx = own.x - parent.x,
                 dy = own.y - parent.y;
    motion->joint[b] = scene::Point(c * dx + s * dy, -s * dx + c * dy);
  }
}

}  // namespace

std::vector<std::string> common_strokes(const StoredStudy& in) {
  std::vector<std::string> out;
  for (const SetUp& s : in.set_ups()) {
    std::vector<std::string> here;
    for (const std::string& stroke : in.groups(s.at + "/strokes"))
      if (in.in().has(s.at + "/strokes/" + stroke + "/coordinates")) here.push_back(stroke);
    if (&s == &in.set_ups().front())
      out = here;
    else
      out.erase(
          std::remove_if(out.begin(), out.end(),
                         [&](const auto& x) { return std::find(here.begin(), here.end(), x) == here.end(); }),
          out.end());
  }
  return out;
}

StoredStroke read_stroke(const StoredStudy& in, const std::string& name, const std::string& stroke) {
  const SetUp& set_up = in.find_set_up(name);
  const std::string path = set_up.at + "/strokes/" + stroke;
  if (!in.in().has(path + "/coordinates") || !in.in().has(path + "/time")) {
    std::string listed;
    for (const std::string& s : in.groups(set_up.at + "/strokes"))
      listed += (listed.empty() ? "\"" : ", \"") + s + "\"";
    throw base::UserError(
        in.path() + ": the set-up \"" + set_up.name + "\" has no stroke \"" + stroke + "\"",
        listed.empty() ? "run the study with touches (without --no-touches)" : "it has " + listed);
  }
  StoredStroke out;
  out.set_up = set_up.name;
  out.label = set_up.label();
  out.kind = in.text(path, "touch");
  out.motion.time = in.column(path + "/time");
  if (out.motion.time.size() < 2)
    throw base::UserError(in.path() + ": the stroke \"" + stroke + "\" has no series over time",
                          "run the study again");
  read_bodies(in, set_up, path, &out.motion);
  out.key_dip = in.column(path + "/key_dip");
  out.finger_force = in.column(path + "/finger_force");
  if (in.in().has(path + "/normal_force") && in.in().has(path + "/friction_force")) {
    const store::Series normal = in.in().read_series(path + "/normal_force"),
                        friction = in.in().read_series(path + "/friction_force");
    for (size_t c = 0; c < normal.names.names.size(); ++c)
      out.motion.places.push_back({normal.names.names[c], take_column(normal, c), take_column(friction, c)});
  }
  if (in.in().has(path + "/contact_places")) {
    const store::Series places = in.in().read_series(path + "/contact_places");
    for (scene::PlaceForces& p : out.motion.places) {
      p.x = find_column(places, p.name + ": x");
      p.y = find_column(places, p.name + ": y");
      p.direction = find_column(places, p.name + ": direction");
    }
    // Places without one act about a centre (stops): no mark, no arrow.
    auto& all = out.motion.places;
    all.erase(std::remove_if(all.begin(), all.end(), [](const auto& p) { return p.direction.empty(); }),
              all.end());
  }
  if (in.in().has(path + "/centre_friction")) {
    const store::Series torques = in.in().read_series(path + "/centre_friction");
    for (const std::string& centre : torques.names.names)
      for (size_t b = 1; b < out.motion.shape.bodies.size(); ++b)
        if (centre_of(out.motion.shape.bodies[b].name) == centre ||
            (centre == "front-rail pin" && out.motion.shape.bodies[b].name == "key"))
          out.motion.centres.push_back({centre, static_cast<int>(b), find_column(torques, centre)});
  }
  out.motion.string_rise = in.column(path + "/string_rise");
  if (in.in().has(path + "/slip")) {
    const store::Series slip = in.in().read_series(path + "/slip");
    out.capstan_slide = summed(out.motion.time, find_column(slip, "capstan on heel cloth"));
    out.knuckle_slide = summed(out.motion.time, find_column(slip, "jack on knuckle"));
  }
  out.events = in.events(path);
  return out;
}

}  // namespace leverwright::study_file

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"
#include "sim/store/study_reader.h"
#include "viz/figures/read_scene.h"
#include "viz/film/film.h"

namespace leverwright::film {
namespace {
using store::StudyReader;

std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& n : names) out += (out.empty() ? "\"" : ", \"") + n + "\"";
  return out.empty() ? "none" : out;
}

const store::SetUpEntry& find_entry(const std::vector<store::SetUpEntry>& entries, const std::string& name,
                                    const std::string& path) {
  std::vector<std::string> names;
  for (const store::SetUpEntry& e : entries) {
    if (e.status != "complete") continue;
    if (name.empty() || e.name == name) return e;
    names.push_back(e.name);
  }
  throw base::UserError(path + " holds no finished set-up \"" + name + "\"", "it has " + listed(names));
}

std::vector<double> column(const store::Series& s, size_t c) {
  std::vector<double> out;
  out.reserve(s.rows);
  for (size_t r = 0; r < s.rows; ++r) out.push_back(s.at(r, c));
  return out;
}

// Column of a matrix by its name; empty when it has none.
std::vector<double> named_column(const store::Series& s, const std::string& name) {
  const auto& names = s.names.names;
  const auto at = std::find(names.begin(), names.end(), name);
  return at == names.end() ? std::vector<double>{} : column(s, static_cast<size_t>(at - names.begin()));
}

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

void read_bodies(const StudyReader& in, const store::SetUpEntry& entry, const std::string& path,
                 scene::ActionMotion* motion) {
  figures::ActionPictures pictures;
  figures::add_moments(in, entry.path, entry.name, &pictures);
  if (pictures.moments.empty() || pictures.moments[0].empty())
    throw base::UserError(in.path() + " holds no outlines of \"" + entry.name + "\"",
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
  const store::Series angles = in.read_series(path + "/coordinates"),
                      speeds = in.read_series(path + "/speeds");
  const store::Series slides = in.has(path + "/slides") ? in.read_series(path + "/slides") : store::Series{};
  for (size_t b = 1; b < n; ++b) {
    const std::string& name = rest.shape.bodies[b].name;
    motion->angle[b] = named_column(angles, name);
    motion->speed[b] = named_column(speeds, name);
    motion->slide[b] = named_column(slides, name);
    std::string group = entry.path + "/scene/bodies/" + name;
    std::replace(group.begin(), group.end(), ' ', '_');
    if (in.has_attribute(group, "parent") && in.has_attribute(group, "joint_x")) {
      std::string parent = in.text_attribute(group, "parent");
      std::replace(parent.begin(), parent.end(), '_', ' ');
      for (size_t p = 1; p < b; ++p)
        if (rest.shape.bodies[p].name == parent) motion->parent[b] = static_cast<int>(p);
      motion->joint[b] = {in.number_attribute(group, "joint_x"), in.number_attribute(group, "joint_y")};
      motion->slide_way[b] = {in.number_attribute(group, "slide_x"), in.number_attribute(group, "slide_y")};
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

FilmNames read_film_names(const std::string& results_path) {
  const StudyReader in(results_path);
  FilmNames out;
  for (const store::SetUpEntry& e : in.set_ups()) {
    if (e.status != "complete") continue;
    std::vector<std::string> here;
    if (in.has(e.path + "/strokes"))
      for (const std::string& s : in.groups(e.path + "/strokes"))
        if (in.has(e.path + "/strokes/" + s + "/coordinates")) here.push_back(s);
    if (out.set_ups.empty()) {
      out.strokes = here;
    } else {
      out.strokes.erase(
          std::remove_if(out.strokes.begin(), out.strokes.end(),
                         [&](const auto& s) { return std::find(here.begin(), here.end(), s) == here.end(); }),
          out.strokes.end());
    }
    out.set_ups.push_back(e.name);
  }
  return out;
}

FilmStroke read_film_stroke(const std::string& results_path, const std::string& set_up,
                            const std::string& stroke) {
  const StudyReader in(results_path);
  const std::vector<store::SetUpEntry> entries = in.set_ups();
  const store::SetUpEntry& entry = find_entry(entries, set_up, results_path);
  const std::string path = entry.path + "/strokes/" + stroke;
  if (!in.has(path + "/coordinates") || !in.has(path + "/time")) {
    std::vector<std::string> names;
    if (in.has(entry.path + "/strokes")) names = in.groups(entry.path + "/strokes");
    throw base::UserError(
        results_path + ": the set-up \"" + entry.name + "\" has no stroke \"" + stroke + "\"",
        names.empty() ? "run the study with touches (without --no-touches)" : "it has " + listed(names));
  }
  FilmStroke out;
  out.set_up = entry.name;
  out.label = figures::shown_name(in, entry, &entry == &entries.front());
  if (in.has_attribute(path, "touch")) out.kind = in.text_attribute(path, "touch");
  out.motion.time = in.read_series(path + "/time").values;
  if (out.motion.time.size() < 2)
    throw base::UserError(results_path + ": the stroke \"" + stroke + "\" has no series over time",
                          "run the study again");
  read_bodies(in, entry, path, &out.motion);
  const auto values = [&](const char* name) {
    return in.has(path + "/" + name) ? in.read_series(path + "/" + name).values : std::vector<double>{};
  };
  out.key_dip = values("key_dip");
  out.finger_force = values("finger_force");
  if (in.has(path + "/normal_force") && in.has(path + "/friction_force")) {
    const store::Series normal = in.read_series(path + "/normal_force"),
                        friction = in.read_series(path + "/friction_force");
    for (size_t c = 0; c < normal.names.names.size(); ++c)
      out.motion.places.push_back({normal.names.names[c], column(normal, c), column(friction, c)});
  }
  if (in.has(path + "/contact_places")) {
    const store::Series places = in.read_series(path + "/contact_places");
    for (scene::PlaceForces& p : out.motion.places) {
      p.x = named_column(places, p.name + ": x");
      p.y = named_column(places, p.name + ": y");
      p.direction = named_column(places, p.name + ": direction");
    }
    // Places without one act about a centre (stops): no mark, no arrow.
    auto& all = out.motion.places;
    all.erase(std::remove_if(all.begin(), all.end(), [](const auto& p) { return p.direction.empty(); }),
              all.end());
  }
  if (in.has(path + "/centre_friction")) {
    const store::Series torques = in.read_series(path + "/centre_friction");
    for (const std::string& name : torques.names.names)
      for (size_t b = 1; b < out.motion.shape.bodies.size(); ++b)
        if (centre_of(out.motion.shape.bodies[b].name) == name ||
            (name == "front-rail pin" && out.motion.shape.bodies[b].name == "key"))
          out.motion.centres.push_back({name, static_cast<int>(b), named_column(torques, name)});
  }
  out.motion.string_rise = values("string_rise");
  if (in.has(path + "/slip")) {
    const store::Series slip = in.read_series(path + "/slip");
    out.capstan_slide = summed(out.motion.time, named_column(slip, "capstan on heel cloth"));
    out.knuckle_slide = summed(out.motion.time, named_column(slip, "jack on knuckle"));
  }
  if (in.has(path + "/events")) {
    const store::Table events = in.read_table(path + "/events");
    const store::Column* names = events.find("name");
    const store::Column* times = events.find("time");
    for (size_t k = 0; names != nullptr && times != nullptr && k < events.rows(); ++k)
      if (std::isfinite(times->numbers[k])) out.events.push_back({names->texts[k], times->numbers[k]});
  }
  return out;
}

}  // namespace leverwright::film

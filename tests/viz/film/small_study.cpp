#include "tests/viz/film/small_study.h"

#include <cmath>
#include <vector>

#include "sim/store/study_writer.h"

namespace leverwright::mock {

double small_hammer_angle(double t) {
  const double s = std::fmin(1, std::fmax(0, (t - 0.02) / 0.04));
  return -0.3 + 0.3 * s * s * (3 - 2 * s);
}

void write_small_study(const std::string& path) {
  using store::make_meta;
  store::StudyHeader header;
  header.software_version = "test";
  header.case_text = "invented";
  store::StudyWriter out(path, header);
  const auto metre = make_meta("m", "mm", "none", "x"), newton = make_meta("N", "gf", "none", "x");
  for (const char* name : {"as found", "moved"}) {
    const std::string at = out.begin_set_up(name, "invented");
    const double shift = std::string(name) == "moved" ? -0.003 : 0;
    for (const char* way : {"down", "up"}) {
      const bool down = way[0] == 'd';
      out.write_series(at + "/statics/" + way, "dip",
                       down ? std::vector<double>{0, 5e-3, 1e-2} : std::vector<double>{1e-2, 5e-3, 0}, metre);
      out.write_series(at + "/statics/" + way, "force", std::vector<double>{0.5, 0.45, 0.4}, newton);
    }
    out.write_numbers(at, "numbers", {}, "measures");
    out.write_numbers(at, "screws", {}, "screws");
    out.write_strings(at, "warnings", {}, "none");
    out.write_attribute(at, "undone", std::string(name == std::string("as found") ? "" : "NOT REVERSIBLE"));
    out.write_series(at + "/slide/C3", "dip", std::vector<double>{0, 1e-2}, metre);

    const std::string bodies = at + "/scene/bodies/", features = at + "/scene/features/";
    const auto body = [&](const std::string& which, const std::vector<double>& outline, const char* role) {
      out.write_series(bodies + which, "outline", outline, 2, metre);
      out.write_attribute(bodies + which, "colour_role", std::string(role));
      out.write_attribute(bodies + which, "pivot_x", 0.0);
      out.write_attribute(bodies + which, "pivot_y", 0.0);
    };
    body("key", {-0.2, 0, 0.25, 0, 0.25, 0.022, -0.2, 0.022}, "key wood");
    body("wippen", {-0.1, -0.005, 0, -0.005, 0, 0.005, -0.1, 0.005}, "wippen wood");
    body("jack", {-0.004, 0, 0.004, 0, 0.004, 0.05, -0.004, 0.05}, "jack");
    body("hammer",
         {0, -0.003, 0.12, -0.003, 0.12, -0.03, 0.14, -0.03, 0.14, 0.05, 0.12, 0.05, 0.12, 0.003, 0, 0.003},
         "hammer");
    const auto feature = [&](const std::string& which, const std::vector<double>& points, const char* owner,
                             const char* kind, const char* role) {
      out.write_series(features + which, "points", points, 2, metre);
      out.write_attribute(features + which, "body", std::string(owner));
      out.write_attribute(features + which, "kind", std::string(kind));
      out.write_attribute(features + which, "colour_role", std::string(role));
    };
    feature("string", {0.12, 0.2, 0.28, 0.2}, "ground", "line", "string");
    feature("capstan", {0.128 + shift, 0.022, 0.138 + shift, 0.022, 0.138 + shift, 0.05, 0.128 + shift, 0.05},
            "key", "cap", "metal");
    feature("heel_surface", {-0.075, -0.009, -0.057, -0.009}, "wippen", "heel surface", "felt");
    const std::string positions = at + "/scene/positions";
    out.write_strings(positions, "bodies", {"key", "wippen", "jack", "hammer"}, "rows");
    const store::Columns pose{{"x", "y", "angle"}, {"m", "m", "rad"}, {"mm", "mm", "deg"}};
    for (const char* moment : {"rest", "half_stroke", "let_off"})
      out.write_series(positions, moment,
                       std::vector<double>{0, 0, 0, 0.2, 0.06, 0, 0.11, 0.06, 0, 0.08, 0.13, -0.3}, 3,
                       make_meta("per column", "per column", "W", "poses"), pose);

    const std::string stroke = at + "/strokes/mf";
    std::vector<double> time, dip, force, angles, speeds, normal, friction, slip, gap, speed;
    for (int k = 0; k <= 200; ++k) {
      const double t = 5e-4 * k, h = 1e-6, w = small_hammer_angle(t);
      const double rate = (small_hammer_angle(t + h) - small_hammer_angle(t - h)) / (2 * h);
      time.push_back(t);
      const double key = 0.1 * (w + 0.3);
      dip.push_back(0.2 * key);
      force.push_back(3 * std::fmin(1.0, t / 0.03));
      gap.push_back(0.14 * -w);
      speed.push_back(0.14 * rate);
      for (const double a : {key, -0.3 * (w + 0.3), 0.0, w}) angles.push_back(a);
      for (const double a : {0.1 * rate, -0.3 * rate, 0.0, rate}) speeds.push_back(a);
      normal.push_back(t < 0.06 ? 4 : 0);
      friction.push_back(t < 0.06 ? 0.8 : 0);
      slip.push_back(2e-3);
    }
    out.write_series(stroke, "time", time, make_meta("s", "ms", "none", "x"));
    out.write_series(stroke, "key_dip", dip, metre);
    out.write_series(stroke, "hammer_distance", gap, metre);
    out.write_series(stroke, "hammer_speed", speed, make_meta("m/s", "m/s", "none", "x"));
    out.write_series(stroke, "finger_force", force, newton);
    const store::Columns names{{"key", "wippen", "jack", "hammer"}, {}, {}};
    out.write_series(stroke, "coordinates", angles, 4, make_meta("rad", "deg", "W", "x"), names);
    out.write_series(stroke, "speeds", speeds, 4, make_meta("rad/s", "rad/s", "W", "x"), names);
    const store::Columns place{{"capstan on heel cloth"}, {}, {}};
    out.write_series(stroke, "normal_force", normal, 1, newton, place);
    out.write_series(stroke, "friction_force", friction, 1, newton, place);
    out.write_series(stroke, "slip", slip, 1, make_meta("m/s", "mm/s", "none", "x"), place);
    out.write_table(stroke, "events",
                    {"x",
                     {store::text_column("name", "x", {"key start", "string contact"}),
                      store::number_column("time", make_meta("s", "ms", "none", "x"), {0.02, 0.06})}});
    out.finish_set_up();
  }
  out.write_strings(
      "/", "answer",
      {"Do: Leave it as it is.", "No way back: Nothing of this. In the case NOT REVERSIBLE: \"moved\"."},
      "invented");
  out.write_strings("/", "advised", {}, "none");
  out.finish();
}

}  // namespace leverwright::mock

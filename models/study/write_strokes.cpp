#include "models/study/write_strokes.h"

#include <algorithm>
#include <cmath>

#include "models/drawing/outlines.h"
#include "models/study/plain_number.h"

namespace leverwright::study {

using store::make_meta;
using store::make_meta_unknown_allowed;

namespace {

// Lists of equal length beside each other, row by row.
std::vector<double> beside(const std::vector<const std::vector<double>*>& columns) {
  std::vector<double> out;
  const std::size_t rows = columns.empty() ? 0 : columns.front()->size();
  out.reserve(rows * columns.size());
  for (std::size_t r = 0; r < rows; ++r)
    for (const auto* c : columns) out.push_back((*c)[r]);
  return out;
}

std::vector<const std::vector<double>*> pointers(const std::vector<std::vector<double>>& lists) {
  std::vector<const std::vector<double>*> out;
  for (const auto& list : lists) out.push_back(&list);
  return out;
}

class StrokeStore {
 public:
  StrokeStore(store::StudyWriter& writer, const action::Action& action, const PlayedTouch& touch,
              std::string at)
      : w_(writer), a_(action), t_(touch), s_(touch.stroke.series), at_(std::move(at)) {}

  void write() {
    write_motion();
    write_places();
    write_forces();
    write_energies();
    write_tables();
  }

 private:
  void series(const char* name, const std::vector<double>& values, const char* unit, const char* shown,
              const char* frame, const char* what) {
    w_.write_series(at_, name, values, make_meta(unit, shown, frame, what));
  }

  void write_motion() {
    series("time", s_.time, "s", "ms", "none", "since the finger was laid on the key at rest");
    series("key_dip", s_.dip, "m", "mm", "W", "playing point below its rest, downwards positive");
    series("key_speed", s_.key_speed, "m/s", "m/s", "W", "of the playing point, downwards positive");
    series("hammer_distance", s_.string_gap, "m", "mm", "W", "hammer crown to string");
    series("hammer_speed", s_.hammer_speed, "m/s", "m/s", "W", "of the hammer crown, towards the string");
    // Any finger comes after the bodies of the action, whose indices it leaves alone.
    store::Columns bodies, sliding;
    std::vector<const std::vector<double>*> angle, speed, slide;
    const std::vector<double> upright(s_.time.size(), 0.0);
    for (const drawing::BodyOutline& b : drawing::find_body_outlines(a_)) {
      bodies.names.push_back(b.body);
      if (b.index == drawing::kUpright) {
        angle.push_back(&upright);
        speed.push_back(&upright);
        continue;
      }
      angle.push_back(&s_.position[b.index]);
      speed.push_back(&s_.speed[b.index]);
      if (b.slide < 0) continue;
      sliding.names.push_back(b.body);
      slide.push_back(&s_.position[b.slide]);
    }
    w_.write_series(at_, "coordinates", beside(angle), angle.size(),
                    make_meta("rad", "deg", "W",
                              "angle of each body's frame, anticlockwise positive with the player on the "
                              "left; key, wippen and lever as drawn at 0"),
                    bodies);
    w_.write_series(at_, "speeds", beside(speed), speed.size(),
                    make_meta("rad/s", "rad/s", "W", "turning speed of each body"), bodies);
    if (!slide.empty())
      w_.write_series(at_, "slides", beside(slide), slide.size(),
                      make_meta("m", "mm", "parent", "how far the body's joint has moved along its slide"),
                      sliding);
    if (!s_.string_rise.empty())
      series("string_rise", s_.string_rise, "m", "mm", "W", "of the string at the struck point, upwards");
  }

  // Where each contact bears and which way, and the friction of every centre.
  void write_places() {
    store::Columns columns;
    std::vector<const std::vector<double>*> values;
    for (const auto& p : s_.places) {
      if (std::none_of(p.direction.begin(), p.direction.end(), [](double d) { return d == d; })) continue;
      for (const auto& [what, list, unit, shown] :
           {std::tuple{": x", &p.x, "m", "mm"}, std::tuple{": y", &p.y, "m", "mm"},
            std::tuple{": direction", &p.direction, "rad", "deg"}}) {
        columns.names.push_back(p.name + what);
        columns.units.emplace_back(unit);
        columns.display_units.emplace_back(shown);
        values.push_back(list);
      }
    }
    if (!values.empty())
      w_.write_series(
          at_, "contact_places", beside(values), values.size(),
          make_meta_unknown_allowed("per column", "per column", "W",
                                    "place of each contact and direction of the normal force on the driven "
                                    "body; positive friction on it is a quarter turn anticlockwise from "
                                    "there; not a number where the contact is open"),
          columns);
    store::Columns centres;
    std::vector<const std::vector<double>*> torques;
    for (const std::size_t i : drawing::find_centres(a_.mechanism)) {
      if (i >= s_.centres.size()) return;  // nothing was recorded
      centres.names.push_back(s_.centres[i].name);
      torques.push_back(&s_.centres[i].torque);
    }
    w_.write_series(at_, "centre_friction", beside(torques), torques.size(),
                    make_meta("N m", "N mm", "none",
                              "torque of friction in each centre on the body it carries, anticlockwise "
                              "positive"),
                    centres);
  }

  void write_forces() {
    series("finger_force", s_.finger_force, "N", "N", "W", "of the finger on the playing point, downwards");
    std::vector<const std::vector<double>*> normal, friction, slip;
    std::vector<std::vector<double>> depths;
    store::Columns places;
    for (const auto& p : s_.places) {
      places.names.push_back(p.name);
      normal.push_back(&p.normal);
      friction.push_back(&p.friction);
      slip.push_back(&p.slip);
      depths.push_back(p.depth);
      // The search for depth ends where surfaces are far apart.
      for (double& d : depths.back())
        if (!(d > 0)) d = store::kUnknown;
    }
    const std::size_t n = places.names.size();
    w_.write_series(at_, "normal_force", beside(normal), n,
                    make_meta("N", "N", "none", "normal force at each contact; 0 where it is open"), places);
    w_.write_series(
        at_, "friction_force", beside(friction), n,
        make_meta("N", "N", "none", "friction force at each contact; positive resists positive slip"),
        places);
    w_.write_series(at_, "slip", beside(slip), n,
                    make_meta("m/s", "mm/s", "none",
                              "sliding speed at each contact, weighed by normal force; 0 where it is open"),
                    places);
    w_.write_series(
        at_, "depth", beside(pointers(depths)), n,
        make_meta_unknown_allowed("m", "mm", "none",
                                  "how far each contact is pressed in; not a number where it is open"),
        places);
  }

  void write_energies() {
    std::vector<double> lost(s_.time.size(), 0.0);
    for (const auto& row : s_.losses)
      for (std::size_t k = 0; k < lost.size(); ++k) lost[k] += row[k];
    w_.write_series(at_, "energies",
                    beside({&s_.work, &lost, &s_.kinetic, &s_.gravity, &s_.springs, &s_.cloth, &s_.bristles,
                            &s_.pivots, &s_.strings}),
                    9,
                    make_meta("J", "mJ", "none",
                              "work the finger has done, energy lost so far, and energy stored in each way"),
                    store::Columns{{"work", "lost", "kinetic", "gravity", "springs", "cloth",
                                    "stuck friction", "stuck centres and bushings", "string"},
                                   {},
                                   {}});
  }

  void write_tables() {
    const auto& r = t_.stroke;
    std::vector<std::string> names, faults;
    std::vector<double> times;
    for (std::size_t k = 0; k < action::kStrokeEventCount; ++k) {
      names.emplace_back(action::kStrokeEventNames[k]);
      times.push_back(r.event[k]);
    }
    w_.write_table(
        at_, "events",
        {"what happened when; not a number: it did not happen",
         {store::text_column("name", "event; the results standard says how each is told", names),
          store::number_column("time", make_meta_unknown_allowed("s", "ms", "none", "on the stroke's clock"),
                               times)}});
    for (const auto f : r.faults) faults.emplace_back(action::name_of(f));
    if (!r.stopped.empty()) faults.push_back("stopped: " + r.stopped);
    if (!t_.found.found) faults.push_back("touch not found: " + t_.found.advice);
    w_.write_table(at_, "faults",
                   {"what went wrong in this stroke; no rows: nothing",
                    {store::text_column("fault", "in words", faults)}});
    std::vector<store::Number> numbers;
    for (const auto& n : find_touch_numbers(t_))
      if (std::isfinite(n.value)) numbers.push_back(n);
    w_.write_numbers(
        at_, "measures", numbers,
        "measures of this stroke; what did not happen has no row; uncertainties are not propagated "
        "through strokes");
    std::vector<double> end;
    for (const auto& row : s_.losses) end.push_back(row.empty() ? 0.0 : row.back());
    w_.write_table(at_, "audit",
                   {"energy lost at each place over the whole stroke, from its own force and speed",
                    {store::text_column("place", "place of loss", s_.loss_names),
                     store::number_column("loss", make_meta("J", "mJ", "none", "energy lost"), end)}});
    w_.write_attribute(at_ + "/audit", "error", r.audit.error());
    w_.write_attribute(at_ + "/audit", "error_means",
                       std::string("energy not accounted for, as a share of the most work put in"));
  }

  store::StudyWriter& w_;
  const action::Action& a_;
  const PlayedTouch& t_;
  const action::StrokeSeries& s_;
  std::string at_;
};

// Work put in by the time of key bottom, by straight lines between samples [J].
double find_finger_work(const PlayedTouch& t) {
  const auto& s = t.stroke.series;
  const double at = t.stroke.event[action::kKeyBottom];
  for (std::size_t k = 1; k < s.time.size(); ++k)
    if (s.time[k - 1] <= at && at <= s.time[k] && s.time[k] > s.time[k - 1])
      return s.work[k - 1] + (s.work[k] - s.work[k - 1]) * (at - s.time[k - 1]) / (s.time[k] - s.time[k - 1]);
  return store::kUnknown;
}

}  // namespace

std::vector<store::Number> find_touch_numbers(const PlayedTouch& t) {
  const auto& m = t.stroke.measures;
  std::vector<store::Number> out;
  const auto add = [&](const char* name, double value, const char* unit, const char* shown,
                       const char* what) {
    out.push_back(plain_number(name, t.found.found ? value : store::kUnknown, unit, shown, what));
  };
  add("hammer speed", m.hammer_speed, "m/s", "m/s", "of the crown, normal to the string, at first contact");
  add("steady finger force", t.found.touch.plateau, "N", "N",
      "force of the finger after its rise, found so that the hammer has the speed asked for; of a finger "
      "with "
      "an arm: what the arm holds the key down with");
  if (t.kind == "struck" || t.kind == "finger")
    add("speed of the hand", t.finger.speed, "m/s", "m/s",
        "found so that the hammer has the speed asked for");
  add("greatest finger force", m.peak_force, "N", "N", "over the whole stroke");
  add("finger work to key bottom", find_finger_work(t), "J", "mJ", "what the finger has put in by then");
  add("greatest key speed", m.peak_key_speed, "m/s", "m/s", "at the playing point, before key bottom");
  add("key start to string", m.travel_time, "s", "ms", "from 0.05 mm of dip to first contact");
  add("key start to key bottom", m.key_descent_time, "s", "ms",
      "from 0.05 mm of dip until the front punching carries 0.5 N");
  add("key bottom after string", m.key_bottom_after_string, "s", "ms", "negative: before the string");
  add("hammer flies free", m.free_flight, "s", "ms", "both jack and lever off the knuckle, until the string");
  add("hammer on string", m.string_time, "s", "ms", "first contact to first parting");
  add("rebound speed", m.rebound_speed, "m/s", "m/s", "of the crown away from the string on parting");
  add("string to check", m.check_time, "s", "ms", "until the tail's sliding on the check has ended");
  add("string to hammer held", find_held_time(t), "s", "ms",
      "until the hammer stays within 0.5 mm of where it is caught");
  add("check distance", m.check_distance, "m", "mm", "crown to string when the key is released, if caught");
  add("release to jack reset", m.jack_reset_time, "s", "ms",
      "from the finger's first easing until the jack is back on its stop under the knuckle");
  return out;
}

void write_strokes(store::StudyWriter& writer, const std::string& at, const SetUpResult& s) {
  for (const PlayedTouch& t : s.touches) {
    const std::string path = at + "/strokes/" + t.name;
    StrokeStore(writer, s.action, t, path).write();
    writer.write_attribute(path, "touch", t.kind);
    const auto told = [&](const char* name, const char* what, const std::vector<std::string>& texts) {
      if (!texts.empty())
        writer.write_table(path, name, {what, {store::text_column("text", "in words", texts)}});
    };
    told("explanations", "what went wrong, why, and what to look at; one row for each cause", t.explained);
    told("notes", "how this touch came about", t.notes);
    if (t.kind == "struck" || t.kind == "finger") {
      writer.write_attribute(path, "hand_speed", t.finger.speed);
      writer.write_attribute(path, "finger_mass", t.finger.mass);
      writer.write_attribute(path, "finger_stiffness_at_1_N", t.finger.stiffness);
      writer.write_attribute(path, "finger_damping_at_1_N", t.finger.damping);
      writer.write_attribute(path, "hand_start_height", t.finger.struck ? t.finger.height : 0.0);
      writer.write_attribute(path, "arm_hold", t.finger.hold());
      writer.write_attribute(path, "arm_over", t.finger.over);
      writer.write_attribute(path, "hammer_speed_wanted", t.wanted_speed);
      writer.write_attribute(path, "hand_release_at", t.finger.released_at());
      continue;
    }
    if (t.kind != "pressed") {
      writer.write_attribute(path, "release_at", t.found.touch.release_at);
      continue;
    }
    writer.write_attribute(path, "hammer_speed_wanted", t.wanted_speed);
    writer.write_attribute(path, "finger_start", t.found.touch.start);
    writer.write_attribute(path, "finger_rise", t.found.touch.rise);
    writer.write_attribute(path, "finger_release_at", t.found.touch.release_at);
    writer.write_attribute(path, "finger_fall", t.found.touch.fall);
  }
}

}  // namespace leverwright::study

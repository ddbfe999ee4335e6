#include "models/playing/finger_touches.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/action/fault_report.h"

namespace leverwright::playing {

namespace {

constexpr double kSearch = 0.7;  // share of the work of one touch that is the search for it

action::PlayOptions telling(const TouchProgress& progress, const std::string& name, double from, double to) {
  action::PlayOptions options;
  if (progress)
    options.progress = [&progress, name, from, to](double share) {
      progress(name, from + (to - from) * share);
    };
  return options;
}

void explain(const study::SetUpResult& s, study::PlayedTouch& t) {
  t.explained = action::write_faults(action::explain_faults(s.action, t.stroke));
}

}  // namespace

action::FingerTouch find_finger(const case_file::CaseDescription& d, double dip, bool struck) {
  action::FingerTouch t;
  t.struck = struck;
  t.mass = d.value("touches.finger_mass");
  t.stiffness = d.value("touches.finger_stiffness");
  t.damping = d.value("touches.finger_damping");
  if (dip > 0) t.dip = dip;
  return t;
}

study::PlayedTouch play_finger_touch(const case_file::CaseDescription& d, const study::SetUpResult& s,
                                     const std::string& touch, bool struck, const TouchProgress& progress) {
  return play_finger_at_speed(d, s, touch + (struck ? " struck" : " finger"), d.value("touches." + touch),
                              struck, progress);
}

study::PlayedTouch play_finger_at_speed(const case_file::CaseDescription& d, const study::SetUpResult& s,
                                        const std::string& name, double hammer_speed, bool struck,
                                        const TouchProgress& progress) {
  study::PlayedTouch t;
  t.kind = struck ? "struck" : "finger";
  t.name = name;
  t.wanted_speed = hammer_speed;
  const auto& q = s.regulated.rest.q;
  const auto& screws = s.regulated.screws;
  action::FingerTouch start = find_finger(d, s.regulated.dip, struck);
  start.speed = 0.2 * t.wanted_speed;
  const auto found = action::find_finger_touch(s.design, screws, q, t.wanted_speed, start,
                                               telling(progress, t.name, 0, kSearch));
  t.finger = found.touch;
  t.found.found = found.found;
  t.found.hammer_speed = found.hammer_speed;
  t.found.strokes = found.strokes;
  t.found.advice = found.advice;
  t.found.touch.plateau = found.touch.hold();
  t.found.touch.start = found.touch.start;
  t.found.touch.release_at = found.touch.released_at();
  const action::FingeredAction f = action::put_finger(s.design, screws, q, found.touch);
  t.stroke = action::play(f.action, f.rest, action::finger_touch_drive(f, found.touch),
                          action::finger_options(found.touch, telling(progress, t.name, kSearch, 1)));
  if (found.found) explain(s, t);
  return t;
}

study::PlayedTouch play_record(const study::SetUpResult& s, const RecordedHistory& record,
                               const SmoothRecord& smooth, const TouchProgress& progress) {
  study::PlayedTouch t;
  t.kind = record.is_force ? "force record" : "dip record";
  t.name = "record";
  t.found.found = true;
  t.found.touch.release_at = smooth.release_at;
  t.found.touch.plateau = std::nan("");
  t.notes = record.notes;
  const char* unit = record.is_force ? "N" : "mm";
  const double shown = record.is_force ? 1 : 1e3;
  t.notes.push_back(fmt::format(
      "{} samples of {} over {:.3f} s, smoothed at {:g} Hz; the samples lie {:.3g} {} off the curve (root "
      "mean "
      "square), at most {:.3g} {}{}",
      record.time.size(), record.is_force ? "force" : "dip", record.time.back() - record.time.front(),
      smooth.cut_off, smooth.scatter * shown, unit, smooth.largest * shown, unit,
      record.line[smooth.at_sample] > 0 ? fmt::format(" (line {})", record.line[smooth.at_sample]) : ""));
  if (smooth.let_up)
    t.notes.push_back("the record ends with the key pressed: it is let up within 60 ms after it");
  action::PlayOptions options = telling(progress, t.name, 0, 1);
  options.duration = smooth.duration;
  options.release_at = smooth.release_at;
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  run::Drive drive;
  if (record.is_force)
    drive.press(action::kKey, s.action.playing_point.r, base::Vec2(0, -1), smooth.history);
  else
    drive = action::key_motion_drive(s.action, rest, smooth.history);
  t.stroke = action::play(s.action, rest, drive, options);
  t.found.hammer_speed = t.stroke.measures.hammer_speed;
  explain(s, t);
  return t;
}

study::PlayedTouch play_weight(const study::SetUpResult& s, double mass, double height,
                               const TouchProgress& progress) {
  constexpr double kWatched = 0.6;  // [s]
  study::PlayedTouch t;
  t.kind = "weight";
  t.name = "weight";
  t.found.found = true;
  t.found.touch.release_at = kWatched;
  t.found.touch.plateau = std::nan("");
  action::Finger weight;
  weight.mass = mass;
  weight.start_height = height;
  const action::Action a = action::assemble(s.design, s.regulated.screws, &weight);
  const action::Rest rest = action::build_rest(a, s.regulated.rest.q);
  action::PlayOptions options = telling(progress, t.name, 0, 1);
  options.duration = options.release_at = kWatched;
  t.stroke = action::play(a, rest, action::finger_drive(a, nullptr), options);
  t.found.hammer_speed = t.stroke.measures.hammer_speed;
  auto& faults = t.stroke.faults;
  faults.erase(std::remove(faults.begin(), faults.end(), action::Fault::kNoReset), faults.end());
  t.notes.push_back(
      fmt::format("{:.0f} g dropped from {:.1f} mm above the key, through a pad of {:.0f} N/mm; it "
                  "stays on the key",
                  1e3 * mass, 1e3 * height, 1e-3 * weight.stiffness));
  explain(s, t);
  return t;
}

}  // namespace leverwright::playing

// A few repeated strokes to look at, and the finger that plays them (repetition.h).
#include <fmt/format.h>

#include "models/playing/repetition.h"

namespace leverwright::playing {

using action::FingerMotion;
using action::WithFinger;

FingerMotion motion_of(const RepetitionOptions& o, double depth, double back) {
  FingerMotion m;
  m.strokes = o.strokes;
  m.depth = depth;
  m.back = back;
  m.down_time = o.down_time;
  m.up_time = o.up_time;
  m.time_jitter = o.time_jitter;
  m.height_jitter = o.height_jitter;
  m.seed = o.seed;
  return m;
}

study::PlayedTouch play_for_film(const study::SetUpResult& s, const Ladder& ladder, const std::string& name,
                                 const RepetitionOptions& o) {
  constexpr int kShown = 4;          // strokes
  constexpr double kEvery = 0.5e-3;  // [s]
  const WithFinger with = action::put_finger(s.design, s.regulated.screws, s.regulated.rest.q);
  FingerMotion m = motion_of(o, s.regulated.dip, ladder.back);
  m.rate = ladder.unbroken > 0 ? ladder.unbroken : o.slowest;
  m.strokes = kShown;
  m.time_jitter = m.height_jitter = 0;
  const action::FingerWay way = action::find_finger_way(m);
  action::PlayOptions options;
  options.duration = way.end;
  options.release_at = way.end + 1;  // it is not let go: events are those of the first stroke
  options.stroke.output_interval = kEvery;
  study::PlayedTouch out;
  out.name = name;
  out.kind = "repeated";
  out.stroke = action::play(with.action, with.rest,
                            action::finger_motion_drive(with.action, with.rest, way.height), options);
  out.found.found = true;
  out.found.touch.release_at = way.end;
  out.notes.push_back(fmt::format("{} strokes at {:.1f} a second, the finger going back by {:.1f} mm", kShown,
                                  m.rate, 1e3 * m.back));
  return out;
}

}  // namespace leverwright::playing

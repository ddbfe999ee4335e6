#include "models/study/touches.h"

#include <cmath>

#include "models/action/fault_report.h"

namespace leverwright::study {

const std::vector<std::string>& known_touches() {
  static const std::vector<std::string> names = {"pp", "p", "mf", "f", "ff"};
  return names;
}

std::vector<PlayedTouch> play_touches(
    const case_file::CaseDescription& d, const action::Action& action, const action::Rest& rest,
    const std::vector<std::string>& names,
    const std::function<void(const std::string& touch, double share)>& progress) {
  constexpr double kSearch = 0.7;  // share of the work of one touch that is the search for its force
  std::vector<PlayedTouch> out;
  action::PressedTouch start;
  double start_speed = 0;
  const double count = static_cast<double>(names.size());
  for (const std::string& name : names) {
    PlayedTouch t;
    t.name = name;
    t.wanted_speed = d.value("touches." + name);
    const double before = static_cast<double>(out.size());
    const auto tell = [&](double from, double to) {
      action::PlayOptions options;
      if (progress)
        options.progress = [&, from, to](double share) {
          progress(name, (before + from + (to - from) * share) / count);
        };
      return options;
    };
    action::PressedTouch guess = start;
    // The work done over the dip grows with the square of the speed, over what the weight takes.
    if (start_speed > 0) guess.plateau *= std::pow(t.wanted_speed / start_speed, 1.5);
    t.found = action::find_pressed_touch(action, rest, t.wanted_speed, guess, tell(0, kSearch));
    t.stroke = action::play(action, rest, action::pressed_drive(action, t.found.touch), tell(kSearch, 1));
    if (t.found.found) t.explained = action::write_faults(action::explain_faults(action, t.stroke));
    if (t.found.found) {
      start = t.found.touch;
      start_speed = t.wanted_speed;
    }
    out.push_back(std::move(t));
  }
  return out;
}

double find_held_time(const PlayedTouch& t) {
  const auto& r = t.stroke;
  const auto& s = r.series;
  if (!std::isfinite(r.measures.check_distance)) return std::nan("");
  double held = std::nan("");
  for (std::size_t k = s.time.size(); k-- > 0;) {
    if (s.time[k] > t.found.touch.release_at) continue;
    if (std::abs(s.string_gap[k] - r.measures.check_distance) > kHeldWithin) break;
    held = s.time[k];
  }
  return held - r.event[action::kStringContact];
}

PlayedTouch play_at_speed(const std::string& name, double hammer_speed, const action::Action& action,
                          const action::Rest& rest) {
  PlayedTouch t;
  t.name = name;
  t.wanted_speed = hammer_speed;
  t.found = action::find_pressed_touch(action, rest, hammer_speed);
  t.stroke = action::play(action, rest, action::pressed_drive(action, t.found.touch));
  return t;
}

}  // namespace leverwright::study

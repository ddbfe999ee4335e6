// The demo's note as found, regulated by measure and by playing, with touches solved: what the tests of the
// moving action start from.
#pragma once
#include <cmath>
#include <string>

#include "models/action/regulate_dynamic.h"
#include "models/action/touch.h"
#include "tests/models/action/prepared.h"

namespace leverwright::action {

struct Played {
  ActionDesign design;
  Regulated regulated;
  PlayedRegulation by_playing;
  Action action;
  Rest rest;
};

inline std::size_t at(int i) { return static_cast<std::size_t>(i); }

inline Played regulate_and_play(ActionDesign design, const ScrewSettings& start = {}) {
  Played p;
  p.design = std::move(design);
  p.regulated = regulate(p.design, start, p.design.policy);
  p.by_playing = regulate_by_playing(p.design, p.regulated);
  p.action = assemble(p.design, p.regulated.screws);
  p.rest = build_rest(p.action, p.regulated.rest.q);
  return p;
}

inline const Played& played_as_found() {
  static const Played p = regulate_and_play(design_with({}));
  return p;
}

// "p", "mf", "f" as the case has them, solved on the note as found.
inline const FoundTouch& touch_as_found(const std::string& name) {
  static std::map<std::string, FoundTouch> found;
  const auto it = found.find(name);
  if (it != found.end()) return it->second;
  const Played& p = played_as_found();
  return found[name] = find_pressed_touch(p.action, p.rest, demo_case().value("touches." + name));
}

inline StrokeResult play_touch(const Played& p, const PressedTouch& touch, const PlayOptions& options = {}) {
  return play(p.action, p.rest, pressed_drive(p.action, touch), options);
}

}  // namespace leverwright::action

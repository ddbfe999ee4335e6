// The choice among the moves, one stage of it (judge.h).
#pragma once
#include <string>
#include <vector>

#include "models/judgement/stand.h"

namespace leverwright::judgement {

enum class Held { kFree, kFails, kLimit, kMargin, kTradeOff, kFriction, kInvented, kTargets };

struct HeldBack {
  Held why = Held::kFree;
  std::string words;  // empty when free
};

// `friction_treated`: the moves that ease friction alone have been done, or there is nothing to cure.
// `words`: of each measure of this move on each note.
HeldBack find_held_back(const Stand& stand, std::size_t move, bool friction_treated,
                        const std::vector<std::vector<Said>>& said);

struct Choice {
  Stage stage;
  std::vector<HeldBack> held;  // of each move
  int waits = -1;              // a move that would do noticeably better but waits for targets
};

// `first`: friction may be put first; afterwards moves that ease friction alone are out.
Choice choose(const Stand& stand, const std::vector<JudgedMove>& judged, bool first);

}  // namespace leverwright::judgement

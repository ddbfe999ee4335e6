// Weights laid on a key that stands part-way: does it stay or does it go?
//
// The action stands at a state of the slow path (down- or up-going, see weigh.h), held there by that path's
// force. Over 0.5 s the force is taken to that of the weight and left there. The weight's own mass is not
// added: it would not move the threshold. True stick: between the two edges of the local band, F_up and
// F_down, the key rests for ever.
#pragma once
#include <functional>

#include "models/action/action.h"
#include "sim/run/statics.h"
#include "sim/run/stroke.h"

namespace leverwright::action {

enum class LaidWeight { kStays, kGoesDown, kGoesUp };

struct LaidOutcome {
  LaidWeight what = LaidWeight::kStays;
  double moved_after_1_s = 0;  // largest distance of the playing point from where it was at 1 s [m]
  double moved = 0;            // the same from the start, downwards positive [m]
  double time = 0;             // when it was seen to go, or the end [s]
  run::StrokeStatistics statistics;
};

struct LaidOptions {
  double lay_time = 0.5;  // [s]
  double watch_time = 6;  // [s]
  // [m] below and above where it began that count as gone; for a whole run to let-off or to rest give the way
  // there.
  double gone_down = 0.3e-3, gone_up = 0.3e-3;
  double longest_step = 3e-4;  // [s]: no tremble of the integration's own, see run::StrokeOptions; the creep
                               // it leaves is the same from here down (tests/models/action_play)
  run::StrokeOptions stroke;
};

// weight [N]. `held`: the state it starts from.
LaidOutcome lay_weight(const Action& action, const run::StaticSample& held, double weight,
                       const LaidOptions& options = {});

// The weight at which the key goes, between `stays` (a weight at which it stays) and `goes`: bisection to
// `tolerance` [N].
double find_threshold(const Action& action, const run::StaticSample& held, double stays, double goes,
                      double tolerance, const LaidOptions& options = {});

}  // namespace leverwright::action

// How fast one note repeats, and what holds it back.
//
// The finger's motion is given (models/action/finger_motion.h). For each rate of a ladder a train of strokes
// is played, with jitter from a seed, and beside it a single stroke of the same key travel: the finger lies
// on the key where the strokes begin, everything at rest, and goes down once in the same time. A stroke is
// good when its hammer meets the string at kGoodSpeed of that single stroke's speed or more; a rung holds
// when kGoodShare of its strokes are good (the first, with nothing before it, does not count).
//   highest    greatest rate of the ladder whose rung holds. Success against rate is not monotone: a finger
//              that falls into step with the hammer can succeed above rates at which it fails.
//   unbroken   greatest rate up to which every rung holds, made finer by halving between the last rung that
//              holds and the first that does not: what a player can rely on
//   full       the finger goes back to the key's rest;  partial: by a share of the dip
//   least return for a second blow: key held down after a blow, finger raised slowly by r, struck again with
//              the same mean finger speed: least r from which every larger r sounds (and is good)
//   jack reset time: from the finger's first going up until the jack stands under the knuckle on its stop
//
// What limits: one thing at a time is changed by a stated amount both ways, every screw left where it was,
// and `unbroken` found again. Sizes of the changes are invented: about what a technician would try.
#pragma once
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "models/action/repeat.h"
#include "models/study/compare.h"

namespace leverwright::playing {

inline constexpr double kGoodSpeed = 0.8, kGoodShare = 0.9;

struct RepetitionOptions {
  double slowest = 6, fastest = 18, step = 0.5;  // rates of the ladder [1/s]
  int strokes = 21;                              // of a train; the first does not count
  double partial = 0.6;                          // of the dip
  double down_time = 40e-3, up_time = 40e-3;     // of the finger [s]
  double time_jitter = 0.03, height_jitter = 0.02;
  std::uint64_t seed = 1;
  bool why = true;  // what limits
  int threads = 0;  // 0: as many as the machine has; the bits are the same for any number
  // Return false to stop: then find_repetition answers nothing. Never called by two threads at once.
  std::function<bool(double share_done)> progress;
};

struct Rung {
  double rate = 0;          // [1/s]
  double single_speed = 0;  // hammer speed of a single stroke of the same key travel [m/s]
  int counted = 0, good = 0, sounding = 0, jack_set = 0;
  double key_height = 0;  // mean of the least dip before each stroke [m]
  std::string stopped;    // the computation did not hold
  double share_good() const { return counted > 0 ? static_cast<double>(good) / counted : 0; }
  bool holds() const { return stopped.empty() && counted > 0 && good >= kGoodShare * counted - 1e-9; }
};

struct Ladder {
  double back = 0;  // of the finger between strokes [m]
  std::vector<Rung> rungs;
  double highest = 0, unbroken = 0;  // [1/s]; 0: not even the slowest
  Rung failing;                      // the slowest rung found that does not hold (rate 0: all hold)
  std::string failing_words() const;
};

struct SecondBlow {
  // Key return [m]; NaN: not even from rest. `least_set`: the jack stands under the knuckle by then.
  double least_sounding = 0, least_good = 0, least_set = 0;
  double reset_time = 0, reset_dip = 0;  // finger up in up_time [s], [m]; NaN: not reset
  double slow_reset_dip = 0;             // finger up in kSlowUp [m]
};
inline constexpr double kSlowUp = 0.4;  // [s]; invented

struct Influence {
  std::string kind;                     // "spring", "check", "friction", "inertia", "weight", "finger"
  std::string less, more;               // what was done, in words: "repetition spring 20 % weaker"
  double full_less = 0, full_more = 0;  // change of `unbroken` [1/s]
  double partial_less = 0, partial_more = 0;
};

struct Repetition {
  bool complete = false;
  std::string set_up;
  Ladder full, partial;
  SecondBlow second;
  std::vector<Influence> influences;  // the largest first
  std::string words;                  // what limits, in sentences
};

// A few strokes of such a train, recorded for pictures and films: at `unbroken` of the ladder (its slowest
// rate where none holds), no jitter. Its kind is "repeated", its name "repeated full" or "repeated partial".
study::PlayedTouch play_for_film(const study::SetUpResult& set_up, const Ladder& ladder,
                                 const std::string& name, const RepetitionOptions& options);
// The finger of such a train between the depths `depth` and `depth` less `back` [m]; its rate is left to be set.
action::FingerMotion motion_of(const RepetitionOptions& options, double depth, double back);

// One set-up as compare() left it. `description` is the case it came from, `index` its set-up there.
Repetition find_repetition(const case_file::CaseDescription& description, std::size_t index,
                           const study::SetUpResult& set_up, const RepetitionOptions& options = {});

}  // namespace leverwright::playing

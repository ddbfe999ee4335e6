// The slowest key that still sounds, when it goes down evenly: closed form and played.
//
//        string  ------------
//        gap(y)     | crown       y: dip of the playing point, gap(y) and i(y) = -d gap/d y on the slow path
//                                 (compressed cloth, no friction), up to let-off, where i falls to zero
//
// The playing point goes down at a constant speed v, so the action is carried along the slow path without
// acceleration of the key, and the crown rises at i(y) v. The hammer leaves the jack where that falls off
// faster than the hammer slows down by itself. Free, it is a pendulum with a dry centre; over a small angle
//   I omega^2 / 2 = (m g x_cm + S) d / L,   that is   v_crown^2 = 2 g_eff d,   g_eff = L (m g x_cm + S) / I,
// L, x_cm: horizontal distances of crown and centre of mass from the pin; S = S_0 + mu r_pin R the centre's
// friction under R = m g (1 - m x_cm^2 / I), about, the pin's force in flight; half-way up. Thrown off at y
// it reaches the string when (i v)^2 >= 2 g_eff gap, so the least speed is
//   v_least = least over y of sqrt(2 g_eff gap(y)) / i(y).
// That least lies where the hammer leaves of itself: d/dy [gap - (i v)^2 / 2 g_eff] = 0 is v^2 di/dy =
// -g_eff. So what the trip of the jack takes is in it. The plain form leaves the trip out: the ratio as the
// tender meets the button, the let-off distance, and nothing between.
//   v_plain = sqrt(2 g_eff gap(let-off)) / i(button)
// Left over: the form asks for too little at a short let-off (0.81 of what is played at 1 mm, 0.88 at 2, 0.94
// at 3, 1.00 at 5, surfaces without friction). A hammer that is to leave so late is carried through the trip
// itself, where jack, tender and pressed cloths swing about their slow path: suspected, not shown. And left
// out is the kick: a key that creeps trips a jack that had stuck, and what knuckle and heel had stored throws
// the hammer up after let-off, by a millimetre here. So a slower key may sound where a quicker one does not;
// the played speed below is that from which on every key sounds. Without friction between surfaces there is
// next to no kick.
#pragma once
#include "models/action/play.h"
#include "models/action/regulate.h"

namespace leverwright::study {

struct LeastSpeed {
  double closed = 0, plain = 0;  // v_least, v_plain [m/s]
  double leaves_gap = 0;         // gap(y) where the closed form has its least [m]
  double ratio = 0;              // i(button)
  double fall = 0;               // g_eff [m/s2]
};
// NaN where the path is not found.
LeastSpeed find_least_speed(const action::Action& action, const action::Regulated& regulated);

// The same by playing: the slowest key from which on every quicker one sounds, by steps of 3 % downwards and
// halving to 0.2 % [m/s]; NaN: one of 0.1 m/s does not. The key gets its speed over its first 5 mm.
double play_least_speed(const action::Action& action, const action::Regulated& regulated);
// How far a key that creeps, at 5 mm/s, throws the hammer above where the slow path lets it off [m].
double find_kick(const action::Action& action, const action::Regulated& regulated);

// At other let-off distances [m], the button set for each, the other screws solved afresh from where they
// are.
struct LeastSpeedAt {
  double let_off = 0;  // as it came out [m]
  LeastSpeed form;
  double played = 0, kick = 0;  // with every friction [m/s], [m]
  double played_smooth = 0,
         kick_smooth = 0;  // no friction between surfaces; centres and bushings as they are
};
std::vector<LeastSpeedAt> find_least_speeds(const action::ActionDesign& design,
                                            const action::Regulated& regulated,
                                            const std::vector<double>& let_offs);

}  // namespace leverwright::study

// The slowest key that still sounds, when it goes down evenly: closed form and played.
//
//        string  ------------
//        gap(y)     | crown       y: dip of the playing point, gap(y) and i(y) = -d gap/d y on the slow path;
//                                 b: the tender meets the button
//
// The playing point goes down at a constant speed v. Up to b the train bears the hammer with the force F_0
// that holds it on the slow path and the crown rises at i(b) v. After b the slow path falls behind it: the
// drop screw takes the lever from under the knuckle and i goes from 5 to less than 1 within half a millimetre
// of dip, before the jack takes over and carries the knuckle to let-off. A hammer of any speed that reaches
// the string does not wait for that; it goes straight on. Free, it is a pendulum with a dry centre; over a
// small angle
//   I omega^2 / 2 = (m g x_cm + S) d / L,   that is   v_crown^2 = 2 g_eff d,   g_eff = L (m g x_cm + S) / I,
// L, x_cm: horizontal distances of crown and centre of mass from the pin; S = S_0 + mu r_pin R the centre's
// friction under R = m g (1 - m x_cm^2 / I), about, the pin's force in flight; half-way up. The train does
// not let go at b: lever, spring, knuckle and cloths were pressed and follow it. Energy from b to the string,
//   (i v)^2 / 2 + (g_eff / F_0) integral of F dh = g_eff gap(b),   with the way of pushing
//   lambda = integral of F / F_0 dh
// so that
//   v_least = sqrt(2 g_eff (gap(b) - lambda)) / i(b).
// F is read off the slow train with the crown held on its straight way h = i(b) (y - b), memories of cloths
// and rubbing surfaces carried along, until it is nothing: 1.2 mm here, nearly whatever the let-off. What the
// hammer loses of its straight way meanwhile is of second order (0.06 mm).
//
// Two plainer forms, kept to show what they lack: without the pause of the ratio and lambda
//   v_plain = sqrt(2 g_eff gap(let-off)) / i(b),
// and carried on a rigid slow path and thrown off where it pleases
//   v_rigid = least over y of sqrt(2 g_eff gap(y)) / i(y),
// which lets the hammer sit down again on the jack after the pause. It does not: it is over it in the air.
//
// Played: from the slow path just before b with the speeds that belong to it. A key set off from rest is
// another matter: the knuckle floats on the lever's spring between lever stop and jack, nearly a millimetre
// of the crown, and still swings when the tender meets the button. The speed that sounds then moves by tenths
// of itself with the run-up: models/handbook/least_speed.md. Left out is the kick: a key that creeps trips a
// jack that had stuck, and what knuckle and heel had stored throws the hammer up after let-off, by a
// millimetre here. So a slower key may sound where a quicker one does not; the played speed below is that
// from which on every key sounds. Without friction between surfaces there is next to no kick.
#pragma once
#include <functional>
#include <vector>

#include "models/action/play.h"
#include "models/action/regulate.h"

namespace leverwright::playing {

struct LeastSpeed {
  double closed = 0, plain = 0, rigid = 0;  // v_least, v_plain, v_rigid [m/s]
  double rigid_gap = 0;                     // gap(y) where v_rigid has its least [m]
  double ratio = 0;                         // i(b)
  double gap_button = 0;                    // gap(b) [m]
  double pushed = 0;                        // lambda [m]
  double fall = 0;                          // g_eff [m/s2]
};
// Where a key that goes down evenly and slowly has got to at a dip [m], with every friction and loss: its
// state there and the rates of its coordinates per unit of dip.
struct EvenKey {
  bool found = false;
  double dip = 0, travel_rest = 0;
  run::StaticState state;
  planar::VecQ rates;
};
EvenKey find_even_key(const action::Action& action, double dip);

// NaN where the path is not found.
LeastSpeed find_least_speed(const action::Action& action, const action::Regulated& regulated);

// The same by playing: the slowest key from which on every quicker one sounds, by steps of 3 % downwards and
// halving to 0.2 % [m/s]; NaN: one of 0.12 m/s does not.
// `before`: where the key starts, before the tender meets the button [m].
double play_least_speed(const action::Action& action, const action::Regulated& regulated,
                        double before = 1e-3);
// The search of it: `sounds` says whether a key of this speed does [m/s].
double find_slowest(const std::function<bool(double speed)>& sounds);
// How far a key that creeps, at 5 mm/s, throws the hammer above where the slow path lets it off [m].
double find_kick(const action::Action& action, const action::Regulated& regulated);

// At other let-off distances [m], the button set for each, the other screws solved afresh from where they
// are.
struct LeastSpeedAt {
  double let_off = 0;            // as it came out [m]
  LeastSpeed form, form_smooth;  // with every friction; without that between surfaces
  double played = 0, kick = 0;   // with every friction [m/s], [m]
  double played_smooth = 0,
         kick_smooth = 0;  // no friction between surfaces; centres and bushings as they are
};
std::vector<LeastSpeedAt> find_least_speeds(const action::ActionDesign& design,
                                            const action::Regulated& regulated,
                                            const std::vector<double>& let_offs);

}  // namespace leverwright::playing

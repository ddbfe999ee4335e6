// Lever and balance arithmetic of the bench: what a technician works out on paper from weights and lengths.
// All weights in one unit, all lengths in one unit; the results follow.
//
//   balance weight = (down weight + up weight) / 2
//   friction       = (down weight - up weight) / 2
//   balance weight + front weight = strike weight x weight ratio + wippen weight x key ratio
//                          (moments about the key's pivot; [@ptj1996])
//
// Key ratio: the key's horizontal arms, rear over front. The weight ratio is not the distance ratio (hammer
// travel over key travel), and neither is the product of straight arms.
#pragma once
#include <vector>

namespace leverwright::case_file {

double balance_weight_of(double down_weight, double up_weight);
double friction_of(double down_weight, double up_weight);
double down_weight_of(double balance_weight, double friction);
double up_weight_of(double balance_weight, double friction);

struct StaticBalance {
  double front_weight = 0;
  double strike_weight = 0;
  double wippen_weight = 0;
  double key_ratio = 0;
};
double weight_ratio_of(double balance_weight, const StaticBalance& balance);
double balance_weight_at_ratio(double weight_ratio, const StaticBalance& balance);
// The wippen's part of the load at the playing point: wippen weight times key ratio.
double wippen_share_of(double wippen_weight, double key_ratio);

struct LeverArms {  // straight distances at half stroke
  double key_front = 0, key_rear = 0;
  double wippen_heel = 0, wippen_jack = 0;
  double knuckle = 0, hammer = 0;
};
// (rear / front) (jack / heel) (hammer / knuckle).
double lever_product_of(const LeverArms& arms);

// Straight knuckle arm from the hanging distance along the shank and the knuckle's diameter: the contact
// hangs the diameter and half of the shank's thickness below the shank's centre line. In metres; 3 mm of wood
// is what reproduces the worked values of the pianotech list archive, 2001-12 #098012.
double knuckle_arm_of(double hanging_distance, double knuckle_diameter, double half_shank = 3e-3);

double distance_ratio_of(double hammer_travel, double key_travel);

// Dip that a blow needs at a ratio, with an allowance for escapement (let-off and aftertouch).
double dip_for_blow(double blow, double ratio, double escapement_allowance);
// Height of a spacer under the key's front that puts it half-way between rest and let-off measured from the
// bottom: (dip + let-off travel) / 2.
double half_stroke_spacer(double dip, double let_off_travel);

// Moment of inertia at the key of a mass that moves `speed_ratio` times as fast as the point at `arm`.
double reflected_inertia(double mass, double arm, double speed_ratio);

struct PlacedMass {
  double mass = 0;
  double distance = 0;  // from the balance hole
};
double first_moment_of(const std::vector<PlacedMass>& masses);
double inertia_of(const std::vector<PlacedMass>& masses);
// What the masses add to the front weight, read at `front_length` from the balance hole.
double front_weight_of(const std::vector<PlacedMass>& masses, double front_length);

}  // namespace leverwright::case_file

#include "models/case_file/static_balance.h"

#include <cmath>

namespace leverwright::case_file {

double balance_weight_of(double down_weight, double up_weight) { return (down_weight + up_weight) / 2; }
double friction_of(double down_weight, double up_weight) { return (down_weight - up_weight) / 2; }
double down_weight_of(double balance_weight, double friction) { return balance_weight + friction; }
double up_weight_of(double balance_weight, double friction) { return balance_weight - friction; }

double weight_ratio_of(double balance_weight, const StaticBalance& b) {
  return (balance_weight + b.front_weight - b.wippen_weight * b.key_ratio) / b.strike_weight;
}

double balance_weight_at_ratio(double weight_ratio, const StaticBalance& b) {
  return b.strike_weight * weight_ratio + b.wippen_weight * b.key_ratio - b.front_weight;
}

double wippen_share_of(double wippen_weight, double key_ratio) { return wippen_weight * key_ratio; }

double lever_product_of(const LeverArms& a) {
  return (a.key_rear / a.key_front) * (a.wippen_jack / a.wippen_heel) * (a.hammer / a.knuckle);
}

double knuckle_arm_of(double hanging_distance, double knuckle_diameter, double half_shank) {
  return std::hypot(hanging_distance, knuckle_diameter + half_shank);
}

double distance_ratio_of(double hammer_travel, double key_travel) { return hammer_travel / key_travel; }

double dip_for_blow(double blow, double ratio, double escapement_allowance) {
  return blow / ratio + escapement_allowance;
}

double half_stroke_spacer(double dip, double let_off_travel) { return (dip + let_off_travel) / 2; }

double reflected_inertia(double mass, double arm, double speed_ratio) {
  return mass * arm * arm * speed_ratio * speed_ratio;
}

double first_moment_of(const std::vector<PlacedMass>& masses) {
  double sum = 0;
  for (const PlacedMass& m : masses) sum += m.mass * m.distance;
  return sum;
}

double inertia_of(const std::vector<PlacedMass>& masses) {
  double sum = 0;
  for (const PlacedMass& m : masses) sum += m.mass * m.distance * m.distance;
  return sum;
}

double front_weight_of(const std::vector<PlacedMass>& masses, double front_length) {
  return first_moment_of(masses) / front_length;
}

}  // namespace leverwright::case_file

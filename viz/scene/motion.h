// The action at any time of a stroke, from what a results file keeps: outlines, the pose of every body at
// rest, and each body's angle over time.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "viz/scene/action_scene.h"

namespace leverwright::scene {

struct PlaceForces {  // of one contact over time, N; the friction's sign as in the results file
  std::string name;
  std::vector<double> normal, friction;
};

struct ActionMotion {
  ActionShape shape;
  std::vector<int> parent;   // per body, 0 = ground; parents come before those they carry
  std::vector<Point> joint;  // of each body's origin in its parent's frame, m
  std::vector<double> time;  // s, never running back
  std::vector<std::vector<double>> angle, speed;  // per body, rad and rad/s over time; empty = does not turn
  std::vector<PlaceForces> places;
};

// Poses at time t: angles by cubic pieces through the samples with their turning speeds (Hermite), before the
// first and after the last sample as there; origins follow from the parents.
std::vector<Pose> find_poses(const ActionMotion& motion, double t);

// Straight between samples, held at the ends; 0 for an empty list.
double find_value(const std::vector<double>& time, const std::vector<double>& values, double t);

// Where two drawn surfaces touch: the point of the soft outline that lies deepest in the hard one (or nearest
// to it), and the direction in which the hard one pushes the soft one. mm, W.
struct DrawnContact {
  Point at{0, 0}, push{0, 0};
  double depth = 0;  // negative: apart
};
// Contacts by their names in the results file; empty for one this picture knows no surfaces for.
std::optional<DrawnContact> find_drawn_contact(const ActionShape& shape, const std::vector<Pose>& poses,
                                               const std::string& contact);

// Marks and forces of all places that carry at least `floor` newtons at time t; forces act on the body driven
// by the contact, friction only where its direction is known (capstan, knuckle, back check).
std::vector<ContactSign> find_contact_signs(const ActionMotion& motion, const std::vector<Pose>& poses,
                                            double t, double floor);

}  // namespace leverwright::scene

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
  // Where it bears (W, m) and the direction of the normal force on the driven body; friction on that body is
  // along perp of it. Not a number while it is open; empty in files that do not have them: the place is then
  // looked for on the drawn outlines.
  std::vector<double> x = {}, y = {}, direction = {};
};

struct CentreFriction {  // torque on the body a centre carries, anticlockwise, N m
  std::string name;
  int body = 0;
  std::vector<double> torque;
};

struct ActionMotion {
  ActionShape shape;
  std::vector<int> parent;   // per body, 0 = ground; parents come before those they carry
  std::vector<Point> joint;  // of each body's origin in its parent's frame, m
  std::vector<double> time;  // s, never running back
  std::vector<std::vector<double>> angle, speed;  // per body, rad and rad/s over time; empty = does not turn
  std::vector<PlaceForces> places;
  // Bodies whose joint moves: how far along a direction in the parent's frame, m. Empty: none does.
  std::vector<std::vector<double>> slide = {};
  std::vector<Point> slide_way = {};
  std::vector<CentreFriction> centres = {};
  std::vector<double> string_rise = {};  // m; empty: the string does not yield
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
// by the contact. Where the file does not say in which direction, friction is shown only where it is known
// all the same (capstan, knuckle, back check).
std::vector<ContactSign> find_contact_signs(const ActionMotion& motion, const std::vector<Pose>& poses,
                                            double t, double floor);
// Friction in the centres at time t.
std::vector<CentreSign> find_centre_signs(const ActionMotion& motion, const std::vector<Pose>& poses,
                                          double t);

// The marks a contact wears on a body: capstan on the heel cloth (wippen), jack and lever on the knuckle
// (hammer), where the file says where they bear.
struct WornPath {
  std::string name;
  int body = 0;
  std::vector<double> time, force;  // s, N; open stretches are left out
  std::vector<Point> place;         // m, body frame
};
std::vector<WornPath> find_worn_paths(const ActionMotion& motion);
// Its part from `from` to `to`, in pieces where the surfaces were apart.
std::vector<BodyTrace> find_traces(const std::vector<WornPath>& paths, double from, double to);

// Everything that moves at time t: poses, contacts of at least `floor` newtons, centres, the string.
ActionMoment find_moment(const ActionMotion& motion, double t, double floor);

}  // namespace leverwright::scene

// What acts on a mechanism from outside over time.
//
//   press  a force along a fixed direction of W at a point fixed on a body; the force is a History [N]
//   move   one coordinate is given as a History (value, speed, acceleration); the generalised force that
//   makes it
//          so is the answer, Scratch::prescribed_force [N m or N]
// A dropped weight or a finger of mass needs neither: it is a body of the mechanism under its own weight,
// pressed like any other.
#pragma once
#include <memory>
#include <vector>

#include "sim/planar/mechanism.h"
#include "sim/run/history.h"

namespace leverwright::run {

class Drive {
 public:
  // r in the body frame [m]; direction unit, W.
  void press(int body, const planar::Vec2& r, const planar::Vec2& direction,
             std::shared_ptr<const History> force);
  void move(int coordinate, std::shared_ptr<const History> motion);

  planar::Applied at(double t) const;
  // Times at which the drive is not smooth, sorted, each once.
  std::vector<double> breakpoints() const;
  int moved_coordinate() const { return motion_ ? coordinate_ : -1; }
  double pressing_force(double t) const { return force_ ? force_->at(t).value : 0.0; }

 private:
  int body_ = planar::kGround, coordinate_ = -1;
  planar::Vec2 r_ = planar::Vec2::Zero(), direction_ = planar::Vec2::Zero();
  std::shared_ptr<const History> force_, motion_;
};

}  // namespace leverwright::run

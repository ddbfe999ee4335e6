// What acts on a mechanism from outside over time.
//
//   press  a force along a fixed direction of W at a point fixed on a body; the force is a History [N]
//   lead   a point of a body whose joint can move up a slide is led along W's vertical
//   (planar::Applied::lift) move   one coordinate is given as a History (value, speed, acceleration); the
//   generalised force that makes it
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

  // travel: downward travel of r (frame of `body`, whose joint is `lift`) [m].
  void lead(int body, int lift, const planar::Vec2& r, std::shared_ptr<const History> travel);

  planar::Applied at(double t) const;
  // Times at which the drive is not smooth, sorted, each once.
  std::vector<double> breakpoints() const;
  int moved_coordinate() const { return motion_ ? coordinate_ : -1; }
  bool leads_point() const { return motion_ && lift_ >= 0; }
  double pressing_force(double t) const { return force_ ? force_->at(t).value : 0.0; }

 private:
  int body_ = planar::kGround, coordinate_ = -1;
  int lift_ = -1;
  planar::Vec2 r_ = planar::Vec2::Zero(), direction_ = planar::Vec2::Zero(), led_ = planar::Vec2::Zero();
  std::shared_ptr<const History> force_, motion_;
};

}  // namespace leverwright::run

#include "sim/run/drive.h"

#include <algorithm>

namespace leverwright::run {

void Drive::press(int body, const planar::Vec2& r, const planar::Vec2& direction,
                  std::shared_ptr<const History> force) {
  body_ = body;
  r_ = r;
  direction_ = direction;
  force_ = std::move(force);
}

void Drive::move(int coordinate, std::shared_ptr<const History> motion) {
  coordinate_ = coordinate;
  motion_ = std::move(motion);
}

void Drive::lead(int body, int lift, const planar::Vec2& r, std::shared_ptr<const History> travel) {
  move(body, std::move(travel));
  lift_ = lift;
  led_ = r;
}

planar::Applied Drive::at(double t) const {
  planar::Applied out;
  if (force_) {
    out.load.body = body_;
    out.load.r = r_;
    out.load.force = force_->at(t).value * direction_;
  }
  if (motion_) {
    const Instant i = motion_->at(t);
    out.prescribed = coordinate_;
    out.lift = lift_;
    out.r = led_;
    out.q = i.value;
    out.v = i.rate;
    out.a = i.second;
  }
  return out;
}

std::vector<double> Drive::breakpoints() const {
  std::vector<double> out;
  if (force_) force_->add_breakpoints(out);
  if (motion_) motion_->add_breakpoints(out);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace leverwright::run

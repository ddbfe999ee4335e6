// The action in an independent multibody engine (Simbody): five bodies on pin joints, or six with a finger,
// contacts, springs and frictions entered as one custom force. Shares no source file with sim and models.
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "tests/independent/plain_action.h"

namespace leverwright::independent {

struct SecondRun {
  std::vector<double> time;
  std::array<std::vector<double>, kPartCount> angle, speed;         // absolute [rad, rad/s]
  std::array<std::vector<double>, kBearingCount> normal, friction;  // [N]
  std::vector<double> finger_position, finger_normal;               // down [m], [N]
  long steps = 0, evaluations = 0;
  double rest_acceleration = 0;  // largest |angle''| at the start, nothing pressed [rad/s2]
};

struct SecondOptions {
  double accuracy = 1e-7;
};

// `pressed` [N]: downwards at the playing point, or on the finger (whose weight is borne) when there is one.
SecondRun run_second(const PlainAction& action, const std::function<double(double)>& pressed,
                     const std::vector<double>& times, const SecondOptions& options = {});

}  // namespace leverwright::independent

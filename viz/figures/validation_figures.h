// The curves of the validation page: one action against what is published. Numbers come as shown: ms, m/s,
// mm, gf; NaN where a stroke has none.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::figures {

// A published range over a range of speeds: drawn as a box, nothing is invented between two of them.
struct PublishedBox {
  double speed_from = 0, speed_to = 0;  // of the hammer [m/s]
  double low = 0, high = 0;
  std::string words;
};

struct SpeedCurve {
  std::string name;
  std::vector<double> speed, value;  // of the hammer at the string [m/s]; ms
};

struct ValidationCurves {
  std::string title;
  std::vector<SpeedCurve> key_bottom, travel;  // after the string; key start to string; by way of playing
  std::vector<PublishedBox> key_bottom_published, travel_published;
  std::vector<double> dip, down, up;  // mm, gf: force on the slow path
  double dip_let_off = 0;             // mm
  struct Contact {
    SpeedCurve curve;
    double low = 0, high = 0;  // published; both 0: none of its own
  };
  std::vector<Contact> contacts;
};

// key_bottom_against_speed, travel_time_against_speed, slow_force_against_dip, string_contact_times, each as
// .png, .svg, .pdf and .csv, in `folder`, which must exist.
std::vector<std::string> draw_validation(const ValidationCurves& curves, const std::string& folder);

chart::Chart build_key_bottom(const ValidationCurves& curves);
chart::Chart build_travel_time(const ValidationCurves& curves);
chart::Chart build_slow_force(const ValidationCurves& curves);
chart::Chart build_contact_times(const ValidationCurves& curves);

}  // namespace leverwright::figures

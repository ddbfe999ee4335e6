// Where surfaces meet, worked out a second time.
//
// Face: a dome of radius R through the apex, rounded off into straight sides by fillets of radius r, half
// width w. Seen from the dome's centre the dome fills the angles up to gamma, sin gamma = (w - r)/(R - r);
// beyond, the fillet's centre (w - r, (R - r) cos gamma - R) takes over, and below that centre the side.
// Curve: natural cubic spline through evenly spaced heights (second derivatives from the tridiagonal
// system), straight beyond its ends.
// Deepest point of a curve in a face: where the outward normal of the face's level set is square to the
// curve, by regula falsi (Illinois) around the lowest point of a scan.
#pragma once
#include <vector>

#include "tests/independent/plain_action.h"

namespace leverwright::independent {

inline Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
inline Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
inline Point operator*(double k, Point a) { return {k * a.x, k * a.y}; }
inline double dot(Point a, Point b) { return a.x * b.x + a.y * b.y; }
inline double turning(Point a, Point b) { return a.x * b.y - a.y * b.x; }  // moment of b at arm a

struct Distance {
  double gap;    // negative inside
  Point normal;  // outwards
};

class Face {
 public:
  Face() = default;
  Face(const PlainFace& shape, double raised_along_axis);
  Distance distance(Point p) const;  // body frame
  Point apex() const { return apex_; }
  double half_width() const { return w_; }

 private:
  Point apex_, axis_{0, 1};
  double R_ = 1, w_ = 1, r_ = 0, gamma_ = 0, fillet_x_ = 0, fillet_y_ = 0;
};

class Curve {
 public:
  Curve() = default;
  Curve(const std::vector<double>& x, const std::vector<double>& h);
  void at(double x, double& h, double& slope) const;

 private:
  double x0_ = 0, step_ = 1;
  std::vector<double> h_, bend_;  // heights and second derivatives
};

// A curve lies on its body along a base line: points origin + x along + h(x) outward, outward towards the
// face.
struct BaseLine {
  Point origin, along, outward;
};
// How the face's body stands in the frame of the curve's.
struct FaceSeen {
  Point origin;
  double cos, sin;
};
struct Meeting {
  double gap;
  Point normal, on_curve;  // frame of the curve's body
  double x;                // on the base line
};
Meeting meet(const Face& face, const FaceSeen& seen, const BaseLine& line, const Curve& curve);

}  // namespace leverwright::independent

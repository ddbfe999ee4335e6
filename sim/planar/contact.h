// Contacts: where two bodies meet, along which normal, how deep.
//
// Body a carries the face, body b the mate. `n` points out of a's face into b, so the force on b is +N n, and
//   depth rate  ddot = -n . (v_Wb - v_Wa),   slip velocity  v_t = t . (v_Wb - v_Wa),   t = -perp(n)
// both of material points at `p`. For every kind the depth is an extremum along the surfaces, so moving the
// point of application does not enter ddot (envelope theorem) and N ddot is exactly the power of the normal
// force. With the face looking up (n = +y), t = +x: positive slip = the mate moves towards the strings over
// the face.
#pragma once
#include <algorithm>
#include <memory>
#include <string>
#include <vector>

#include "sim/planar/body_tree.h"
#include "sim/planar/cap.h"
#include "sim/planar/cloth.h"
#include "sim/planar/dry_friction.h"
#include "sim/planar/profile.h"

namespace leverwright::planar {

struct ContactPoint {
  double depth = -1;        // compression of the cloth [m]; negative: gap
  Vec2 p = Vec2::Zero();    // point of application, W [m]
  Vec2 n = Vec2(0, 1);      // unit normal out of a into b, W
  double s_a = 0, s_b = 0;  // where on each surface [m]
  double rate_s_b = 0;      // d(s_b)/dt at the poses' speeds [m/s]; found only where friction varies along b
  CapZone zone = CapZone::kDome;
};

class Contact {
 public:
  Contact(std::string name_in, int body_a_in, int body_b_in)
      : name(std::move(name_in)), body_a(body_a_in), body_b(body_b_in) {}
  virtual ~Contact() = default;
  // Where and how deep the two touch.
  ContactPoint locate(const std::vector<Pose>& poses) const {
    ContactPoint t = find(poses);
    complete(poses, t);
    return t;
  }
  // The same but for what no force depends on, and that part by itself.
  virtual ContactPoint find(const std::vector<Pose>& poses) const = 0;
  virtual void complete(const std::vector<Pose>& /*poses*/, ContactPoint& /*touch*/) const {}
  // True for angular stops: the normal "force" acts at a radius about the common joint, see stop_radius.
  virtual bool is_angular() const { return false; }
  virtual double stop_radius() const { return 0; }
  virtual double stop_sign() const { return 1; }
  // Local factor on the coefficient of friction at surface coordinate s_b (rough or grooved cloth).
  virtual double mu_factor(double /*s_b*/) const { return 1.0; }
  virtual double mu_slope(double /*s_b*/) const { return 0.0; }  // d(mu_factor)/d(s_b) [1/m]
  bool mu_varies() const { return mu_varies_; }                  // false: the factor is 1 everywhere

  // What bears on the rubbing surface at `touch` under this normal force.
  NormalLoad press(const ContactPoint& touch, double force) const {
    const double factor = mu_factor(touch.s_b);
    return {factor * std::max(0.0, force), factor * touch.depth};
  }

  std::string name;   // unique, e.g. "capstan-heel"
  std::string group;  // strips of one patch share their group; defaults to the name
  int body_a, body_b;
  int replaces_joint_of = kGround;  // body_a or body_b when this contact bears it in place of its joint
  Cloth cloth;
  DryFriction friction;

 protected:
  bool mu_varies_ = false;
};

// Round tip (centre c_b, radius) on body b against a straight face on body a (point p0_a, outward normal
// m_a). s_a: along the face from p0 in direction -perp(m); s_b = 0.
class TipOnLine : public Contact {
 public:
  TipOnLine(std::string name, int face_body, const Vec2& p0, const Vec2& outward, int tip_body,
            const Vec2& centre, double radius);
  ContactPoint find(const std::vector<Pose>& poses) const override;

 private:
  Vec2 p0_, m_, c_;
  double r_;
};

// Circle (centre, radius) on body b against a cap on body a: knuckle on jack top, knuckle on repetition
// lever. s_a: along the cap from its apex; s_b: arc length on the circle from its body's -y direction.
class CircleOnCap : public Contact {
 public:
  CircleOnCap(std::string name, int cap_body, const Cap& cap, int circle_body, const Vec2& centre,
              double radius);
  ContactPoint find(const std::vector<Pose>& poses) const override;
  void complete(const std::vector<Pose>& poses, ContactPoint& touch) const override;  // s_b
  const Cap& cap() const { return cap_; }

 private:
  Cap cap_;
  Vec2 c_;
  double r_;
};

// Factor on mu along a profile: piecewise linear through (s, factor), constant outside.
struct MuTable {
  std::vector<double> s, factor;
  double at(double x) const;
  double slope(double x) const;
};

// Cap on body a against a smooth profile on body b: capstan on heel, hammer tail on check.
// s_a: along the cap; s_b: the profile's base coordinate x.
// Sought is the deepest point of the profile inside the cap, over the cap's shadow on it:
//   - Where the profile is hardly hollow (d2h/dx2 < kHollow, and well below the dome's curvature) the distance phi(x)
//     along it is convex and nearly straight beside the cap,
//       phi'' = curvature cross(gradient, tangent)^2 + h'' gradient.ey,   gradient.ey < 0 facing dome and fillets:
//     the lowest point is the foot of the dome's centre, or of the fillet's where the edge bears, by Newton iteration
//     (to 1e-12 m); else a safeguarded Newton iteration on dphi/dx = 0.
//   - Hollow stretches elsewhere in the shadow are shown not to come nearer by their highest point.
//   - Where that fails (a groove under the cap, the foot of a strip): a scan in steps of a sixth of the half width,
//     then the iteration from every dip of the scan; a feature narrower than a step may be missed, by some micrometres.
//
// Limits: sunk deeper than its edge fillet the cap can bear on the ridge between dome and side, where the normal jumps
// and energy is not kept; give caps a larger fillet than the compression at their edge. While the two are far apart the
// depth is only a bound on the gap.
class CapOnProfile : public Contact {
 public:
  CapOnProfile(std::string name, int cap_body, const Cap& cap, int profile_body, const Profile& profile,
               MuTable mu = {});
  ContactPoint find(const std::vector<Pose>& poses) const override;
  static constexpr double kHollow = 6;         // [1/m]
  static constexpr double kStretch = 0.25e-3;  // [m]
  static constexpr double kFacing = -0.5;      // cosine of the largest turn against each other
  double mu_factor(double s_b) const override { return mu_.at(s_b); }
  double mu_slope(double s_b) const override { return mu_.slope(s_b); }
  const Cap& cap() const { return cap_; }
  const Profile& profile() const { return profile_; }

 private:
  Cap cap_;
  Profile profile_;
  MuTable mu_;
  Vec2 profile_centre_, cap_centre_;  // bounding circles, body frames
  double profile_reach_, cap_reach_, far_squared_;
  // Stretches of the profile that are too hollow, at most kStretch long; top and bottom: its heights there.
  struct Hollow {
    double from, to, top, bottom;
  };
  std::vector<Hollow> hollows_;
  // The cap seen from the profile: coordinates in the cap's axes of the point x, h are
  //   along = o_t + x x_t + h y_t,   outwards = o_u + x x_u + h y_u.
  struct View {
    double o_t, x_t, y_t, o_u, x_u, y_u;
    double along(double x, double h) const { return o_t + x * x_t + h * y_t; }
    double outwards(double x, double h) const { return o_u + x * x_u + h * y_u; }
  };
  struct Candidate {
    double x;
    ProfilePoint profile;
    LocalCapDistance cap;
  };
  Candidate place_at(const View& v, double x) const {
    const ProfilePoint p = profile_.at(x);
    return {x, p, cap_.local_distance(v.along(x, p.h), v.outwards(x, p.h))};
  }
  // Foot on the profile of a centre given in the profile's axes, from `x`; NaN when not found.
  double foot_of(double c_x, double c_h, double x, double lo, double hi) const;
  // First guess for the dome's centre: exact while the dome just touches.
  double foot_when_touching(double c_x) const;
  std::vector<double> touching_foot_;  // [m], on an even grid of c_x
  double touching_from_ = 0, touching_per_ = 1;
  // Newton from `start` to the lowest phi between lo and hi.
  Candidate lowest(const View& v, Candidate start, double lo, double hi) const;
};

// One strip of a Winkler bed: a material point of the profile (base coordinate x) against the cap.
// Its cloth law is the bed's, times the strip's width.
class CapOnStrip : public Contact {
 public:
  CapOnStrip(std::string name, std::string group, int cap_body, const Cap& cap, int profile_body,
             const Profile& profile, double x, double mu_factor);
  ContactPoint find(const std::vector<Pose>& poses) const override;
  double mu_factor(double /*s_b*/) const override { return mu_factor_; }
  double x() const { return x_; }

 private:
  Cap cap_;
  Vec2 p_;
  double x_, mu_factor_;
};

// Stop on the angle of b against a: depth = radius * sign * (theta_b - theta_a - limit).
class AngularStop : public Contact {
 public:
  AngularStop(std::string name, int body_a, int body_b, double limit, double sign, double radius);
  ContactPoint find(const std::vector<Pose>& poses) const override;
  bool is_angular() const override { return true; }
  double stop_radius() const override { return radius_; }
  double stop_sign() const override { return sign_; }

 private:
  double limit_, sign_, radius_;
};

// Torsion spring of b against a: torque on b = preload - stiffness (theta_b - theta_a); energy accordingly.
struct TorsionSpring {
  std::string name;
  int body_a = kGround, body_b = 0;
  double preload = 0;    // [N m] at relative angle 0
  double stiffness = 0;  // [N m/rad]
};

}  // namespace leverwright::planar

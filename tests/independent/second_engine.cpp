#include "tests/independent/second_engine.h"

#include <Simbody.h>

#include <cmath>

#include "tests/independent/laws.h"
#include "tests/independent/surfaces.h"

namespace leverwright::independent {

const std::array<const char*, kBearingCount> kBearingIds = {"C1", "C2", "C3",  "C4",  "C5",  "C6",  "C7",
                                                            "C8", "C9", "C10", "C11", "C12", "C15", "C16"};

namespace {

using SimTK::MobilizedBody;
using SimTK::SpatialVec;
using SimTK::State;
using SimTK::Vec3;
using SimTK::Vector_;

constexpr int kFinger = kPartCount, kGround = kPartCount + 1, kFrames = kPartCount + 2;

Vec3 vec3(Point p) { return Vec3(p.x, p.y, 0); }
Point rotated(Point p, double c, double s) { return {c * p.x - s * p.y, s * p.x + c * p.y}; }
Point rotated(Point p, double angle) { return rotated(p, std::cos(angle), std::sin(angle)); }

// A body as it stands and moves in W.
struct Frame {
  Point o, v;
  double c = 1, s = 0, omega = 0;
  Point turn(Point r) const { return rotated(r, c, s); }
  Point place(Point r) const { return o + turn(r); }
  Point seen(Point p) const { return rotated(p - o, c, -s); }
  Point velocity(Point p) const { return {v.x - omega * (p.y - o.y), v.y + omega * (p.x - o.x)}; }
};

// One contact: face on `under`, its mate on `over`; the normal points out of the face.
struct Met {
  double depth = -1;
  Point at, normal;    // W
  double on_mate = 0;  // heel: x of the contact
};

// What the springs and screws amount to, worked out from the plain numbers.
struct Fixed {
  double jack_drawn, jack_stop, lever_stop;
  Point back_rail, front_punching, rest_cushion, rest_normal, shank_under, button, drop_screw;
};

Fixed find_fixed(const PlainAction& a) {
  Fixed f{};
  // Jack as drawn: its string-side face in line with the string-side edge of the knuckle core.
  const Point edge = a.hammer_centre + rotated(a.knuckle + Point{a.core_half_width, 0}, a.shank_rest_angle) -
                     (a.wippen_centre + a.jack_centre);
  // In the jack's frame the edge lies at x = half width: turn the arm upright, then by that much back.
  f.jack_drawn = std::asin(a.jack_top.half_width / std::hypot(edge.x, edge.y)) - std::atan2(edge.x, edge.y);
  f.jack_stop = f.jack_drawn + a.jack_button / a.jack_stop_radius;
  f.lever_stop = a.lever_button / a.lever_stop_radius;
  f.back_rail = a.balance + a.back_rail + Point{0, a.back_rail_offset};
  f.front_punching = a.balance + a.front_punching +
                     Point{0, a.front_punching_up - a.dip * a.front_punching.x / a.playing_point.x};
  f.rest_normal = rotated({0, 1}, a.shank_rest_angle);
  // The rounded underside of the shank touches the cushion when the shank lies at its rest angle less the
  // gap.
  f.shank_under = {a.rest_rail_x, a.shank_round - a.shank_half_height};
  f.rest_cushion = a.hammer_centre + rotated({a.rest_rail_x, -a.shank_half_height}, a.shank_rest_angle) -
                   a.rest_rail_gap * f.rest_normal;
  f.button = a.button + Point{0, a.button_up};
  f.drop_screw = a.drop_screw + Point{0, a.drop_screw_up + a.drop_screw_radius};
  return f;
}

// The tail: an arc about its centre between two directions, with rounded corners.
PlainFace tail(const PlainAction& a) {
  const double middle = 0.5 * (a.tail_low + a.tail_high), half = 0.5 * (a.tail_high - a.tail_low);
  PlainFace f;
  f.apex = a.tail_centre + a.tail_radius * Point{std::cos(middle), std::sin(middle)};
  f.lean = 0.5 * SimTK::Pi - middle;
  f.dome_radius = a.tail_radius;
  f.edge_fillet = a.tail_corner;
  // The corner's circle touches the arc from inside where the arc ends.
  f.half_width = (a.tail_radius - a.tail_corner) * std::sin(half) + a.tail_corner;
  return f;
}
BaseLine check_line(const PlainAction& a) {
  const double c = std::cos(a.check_lean), s = std::sin(a.check_lean);
  return {a.check_centre - Point{a.check_forward, 0}, {s, c}, {-c, s}};
}
Curve check_face(const PlainAction& a) {
  const double end = 0.5 * a.check_length + a.check_margin;
  std::vector<double> x, h;
  for (int k = 0; k <= static_cast<int>(std::ceil(2 * end / a.check_spacing)); ++k) {
    x.push_back(-end + k * a.check_spacing);
    const double beyond = std::max(0.0, std::abs(x.back()) - 0.5 * a.check_length + a.check_round);
    const double growing = std::min(beyond, a.check_onset), grown = beyond - growing;
    // Integrals of the curvature: slope and drop at the end of the onset, then an arc taken as a parabola.
    const double slope = 0.5 * growing * growing / (a.check_onset * a.check_round);
    const double drop = slope * growing / 3;
    h.push_back(0.5 * x.back() * x.back() / a.check_curve - drop - slope * grown -
                0.5 * grown * grown / a.check_round);
  }
  return Curve(x, h);
}

// The string a second time: plain modes, a'' + 2 g a' + w^2 a = phi F / m, each as displacement and speed,
// whether touched or not. The last sums up the give of all above.
struct StringMode {
  double w, g, phi, m;
};
std::vector<StringMode> string_modes(const PlainString& s) {
  std::vector<StringMode> modes;
  if (s.modes == 0) return modes;
  const double speed = std::sqrt(s.tension * s.length / s.mass), pi = SimTK::Pi;
  const auto wave = [&](int n) {
    const double k = n * pi / s.length;
    return k * speed * std::sqrt(1 + s.stiffness * k * k * s.length * s.length);
  };
  const auto shape = [&](int n) { return std::sin(n * pi * s.striking_share); };
  const auto damping = [&](double w) { return s.loss_constant + s.loss_rising * w * w; };
  for (int n = 1; n <= s.modes; ++n) modes.push_back({wave(n), damping(wave(n)), shape(n), s.mass / 2});
  double give = 0;
  for (int n = 20000; n > s.modes; --n) give += shape(n) * shape(n) / (0.5 * s.mass * wave(n) * wave(n));
  const double w = s.rest_factor * wave(s.modes + 1);
  modes.push_back({w, damping(w), 1, 1 / (give * w * w)});
  return modes;
}

// Everything that acts, and its memories: per bearing d0 and w, per pin w and lagged reaction.
class ActionForces : public SimTK::Force::Custom::Implementation {
 public:
  ActionForces(const PlainAction& a, const SimTK::GeneralForceSubsystem& forces,
               std::vector<MobilizedBody> bodies, std::function<double(double)> pressed)
      : a_(a),
        k_{a.cloth_kappa,   a.cloth_break,        a.bristle_break,
           a.build_up_time, a.pivot_squeeze_time, a.pivot_loss_time},
        fixed_(find_fixed(a)),
        heel_(a.heel_x, a.heel_h),
        cap_(a.cap, a.capstan_up),
        check_line_(check_line(a)),
        check_(check_face(a)),
        tail_(tail(a), 0),
        jack_(a.jack_top, 0),
        lever_(a.lever_top, 0),
        modes_(string_modes(a.string)),
        forces_(forces),
        bodies_(std::move(bodies)),
        pressed_(std::move(pressed)) {}

  // Memories are kept in units in which 1 is a usual value, since the integrator weighs them so.
  static constexpr double kDepthUnit = 1e-4, kBristleUnit = 3e-3, kBushingUnit = 2e-2, kReactionUnit = 5;
  static int at_memory(int bearing) { return 2 * bearing; }
  static int at_bristle(int bearing) { return 2 * bearing + 1; }
  static int at_bushing(int pin) { return 2 * kBearingCount + 2 * pin; }
  static int at_lagged(int pin) { return 2 * kBearingCount + 2 * pin + 1; }
  static constexpr int kMemories = 2 * kBearingCount + 2 * kPinCount;

  // Then displacement and speed of each mode of the string, in units of kStringUnit and w kStringUnit.
  static constexpr double kStringUnit = 1e-4;
  void realizeTopology(State& s) const override {
    forces_.allocateZ(s, SimTK::Vector(kMemories + 2 * static_cast<int>(modes_.size()), 0.0));
  }
  // At the struck point.
  std::pair<double, double> string_moves(const SimTK::Vector& z) const {
    double y = 0, rate = 0;
    for (std::size_t n = 0; n < modes_.size(); ++n) {
      const int at = kMemories + 2 * static_cast<int>(n);
      y += modes_[n].phi * z[at] * kStringUnit;
      rate += modes_[n].phi * z[at + 1] * modes_[n].w * kStringUnit;
    }
    return {y, rate};
  }

  struct Response {
    std::array<double, kBearingCount> normal{}, friction{};
    double finger_normal = 0;
    std::array<Point, kFrames> force{};
    std::array<double, kFrames> moment{};  // about the body's origin
    std::array<double, kMemories> rate{};
  };

  Response evaluate(const State& s) const {
    std::array<Frame, kFrames> f = frames(s);
    const SimTK::Vector& z = forces_.getZ(s);
    Response r;
    for (int i = 0; i < kBearingCount; ++i) bear(i, f, z, r);
    spring(f, kWippen, kLever, -(a_.lever_spring_torque + a_.repetition_spring), a_.lever_spring_rate, 0, s,
           r);
    spring(f, kWippen, kJack, -a_.jack_spring_torque, a_.jack_spring_rate, fixed_.jack_drawn, s, r);
    r.moment[kKey] += a_.assist_torque;
    for (int i = 0; i < kPinCount; ++i) {
      const Bushing b = turn(a_.pivots[static_cast<std::size_t>(i)], k_, 0, lagged(z, i), relative(f, i),
                             z[at_bushing(i)] * kBushingUnit);
      add_couple(r, carrier(i), owner(i), -b.torque);
    }
    const double push = pressed_(s.getTime());
    const Point touched = f[kKey].place(a_.playing_point);
    if (!a_.finger.present) {
      add_force(f, r, kKey, touched, {0, -push});
    } else {
      r.force[kFinger] = r.force[kFinger] + Point{0, -push + a_.finger.mass * a_.gravity};
      // Pad: linear spring with damping in proportion to force, against the key's face at the playing point.
      const Point up = f[kKey].turn({0, 1}), tip = f[kFinger].o;
      const double depth = dot(touched - tip, up);
      if (depth > 0) {
        const Point at = tip + depth * up;
        const double rate = dot(f[kKey].velocity(at) - f[kFinger].velocity(at), up);
        const double spring = a_.finger.stiffness * depth;
        r.finger_normal = std::max(0.0, spring * (1 + a_.finger.damping / a_.finger.stiffness * 1e3 * rate));
        add_force(f, r, kFinger, at, r.finger_normal * up);
        add_force(f, r, kKey, at, -r.finger_normal * up);
      }
    }
    return r;
  }

  void calcForce(const State& s, Vector_<SpatialVec>& body_forces, Vector_<Vec3>&,
                 SimTK::Vector&) const override {
    const Response r = evaluate(s);
    for (std::size_t i = 0; i < bodies_.size(); ++i)
      bodies_[i].applyBodyForce(s, SpatialVec(Vec3(0, 0, r.moment[i]), vec3(r.force[i])), body_forces);
  }
  SimTK::Real calcPotentialEnergy(const State&) const override { return 0; }

  void realizeAcceleration(const State& s) const override {
    ++evaluations;
    const std::array<Frame, kFrames> f = frames(s);
    const SimTK::Vector& z = forces_.getZ(s);
    Response r = evaluate(s);
    for (int i = 0; i < kPinCount; ++i) {
      const Bushing b = turn(a_.pivots[static_cast<std::size_t>(i)], k_, reaction(s, i), lagged(z, i),
                             relative(f, i), z[at_bushing(i)] * kBushingUnit);
      r.rate[static_cast<std::size_t>(at_bushing(i))] = b.rate_w / kBushingUnit;
      r.rate[static_cast<std::size_t>(at_lagged(i))] = b.rate_lagged / kReactionUnit;
    }
    SimTK::Vector& rate = forces_.updZDot(s);
    for (int i = 0; i < kMemories; ++i) rate[i] = r.rate[static_cast<std::size_t>(i)];
    for (std::size_t n = 0; n < modes_.size(); ++n) {
      const StringMode& mode = modes_[n];
      const int at = kMemories + 2 * static_cast<int>(n);
      rate[at] = mode.w * z[at + 1];
      rate[at + 1] = mode.phi * r.normal[kHammerString] / (mode.m * mode.w * kStringUnit) -
                     2 * mode.g * z[at + 1] - mode.w * z[at];
    }
  }

  double reaction(const State& s, int pin) const {
    return bodies_[static_cast<std::size_t>(owner(pin))]
        .findMobilizerReactionOnBodyAtOriginInGround(s)[1]
        .norm();
  }
  double rest_depth(const State& s, int bearing) const { return find(bearing, frames(s)).depth; }

  mutable long evaluations = 0;

 private:
  static int owner(int pin) {
    constexpr int kOwner[kPinCount] = {kKey, kKey, kWippen, kJack, kLever, kHammer};
    return kOwner[pin];
  }
  static int carrier(int pin) { return pin == kJackPin || pin == kLeverPin ? kWippen : kGround; }
  static double relative(const std::array<Frame, kFrames>& f, int pin) {
    return f[static_cast<std::size_t>(owner(pin))].omega - f[static_cast<std::size_t>(carrier(pin))].omega;
  }
  static double lagged(const SimTK::Vector& z, int pin) { return z[at_lagged(pin)] * kReactionUnit; }

  std::array<Frame, kFrames> frames(const State& s) const {
    std::array<Frame, kFrames> f;
    for (std::size_t i = 0; i < bodies_.size(); ++i) {
      const SimTK::Transform& X = bodies_[i].getBodyTransform(s);
      const SpatialVec& V = bodies_[i].getBodyVelocity(s);
      f[i] = {{X.p()[0], X.p()[1]}, {V[1][0], V[1][1]}, X.R()[0][0], X.R()[1][0], V[0][2]};
    }
    return f;
  }

  void spring(const std::array<Frame, kFrames>&, int base, int body, double torque, double rate, double drawn,
              const State& s, Response& r) const {
    // The pin's own coordinate is the angle against the wippen.
    const double angle = bodies_[static_cast<std::size_t>(body)].getOneQ(s, 0);
    add_couple(r, base, body, torque - rate * (angle - drawn));
  }

  static void add_couple(Response& r, int base, int body, double torque) {
    r.moment[static_cast<std::size_t>(body)] += torque;
    r.moment[static_cast<std::size_t>(base)] -= torque;
  }
  static void add_force(const std::array<Frame, kFrames>& f, Response& r, int body, Point at, Point force) {
    const auto i = static_cast<std::size_t>(body);
    r.force[i] = r.force[i] + force;
    r.moment[i] += turning(at - f[i].o, force);
  }

  // Bodies of a bearing: face, mate.
  static std::pair<int, int> sides(int bearing) {
    switch (bearing) {
      case kCapstanHeel:
        return {kKey, kWippen};
      case kJackKnuckle:
        return {kJack, kHammer};
      case kLeverKnuckle:
        return {kLever, kHammer};
      case kTenderButton:
        return {kGround, kJack};
      case kLeverDropScrew:
        return {kLever, kGround};
      case kJackStop:
      case kJackOuterStop:
        return {kWippen, kJack};
      case kLeverStop:
      case kLeverOuterStop:
        return {kWippen, kLever};
      case kShankRest:
      case kHammerString:
        return {kGround, kHammer};
      case kTailCheck:
        return {kHammer, kKey};
      default:
        return {kGround, kKey};
    }
  }

  // A round tip over a straight face; the force acts on the face.
  static Met tip_on_line(Point on_line, Point normal, Point centre, double radius) {
    const double height = dot(centre - on_line, normal);
    return {radius - height, centre - height * normal, normal, 0};
  }
  // The knuckle on a rounded face; the force acts on the face.
  Met knuckle_on(const Face& face, const Frame& under, const Frame& hammer) const {
    const Point centre = hammer.place(a_.knuckle);
    const Distance d = face.distance(under.seen(centre));
    const Point normal = under.turn(d.normal);
    return {a_.knuckle_radius - d.gap, centre - d.gap * normal, normal, 0};
  }

  // A face sunk into a curve; the force acts half way between the two compressed surfaces.
  static Met face_on_curve(const Face& face, const Frame& under, const BaseLine& line, const Curve& curve,
                           const Frame& over) {
    const FaceSeen seen{over.seen(under.o), under.c * over.c + under.s * over.s,
                        under.s * over.c - under.c * over.s};
    const Meeting m = meet(face, seen, line, curve);
    const Point normal = over.turn(m.normal);
    return {-m.gap, over.place(m.on_curve) - 0.5 * m.gap * normal, normal, m.x};
  }

  Met find(int bearing, const std::array<Frame, kFrames>& f) const {
    const Frame &key = f[kKey], &wippen = f[kWippen], &jack = f[kJack], &lever = f[kLever],
                &hammer = f[kHammer];
    const Point up{0, 1}, down{0, -1}, rounded{0, a_.key_round};
    switch (bearing) {
      case kBackRail:
        return tip_on_line(fixed_.back_rail, up, key.place(a_.back_rail + rounded), a_.key_round);
      case kFrontPunching:
        return tip_on_line(fixed_.front_punching, up, key.place(a_.front_punching + rounded), a_.key_round);
      case kCapstanHeel: {
        const BaseLine below{{0, 0}, {1, 0}, {0, -1}};
        return face_on_curve(cap_, key, below, heel_, wippen);
      }
      case kJackKnuckle:
        return knuckle_on(jack_, jack, hammer);
      case kLeverKnuckle:
        return knuckle_on(lever_, lever, hammer);
      case kTenderButton:
        return tip_on_line(fixed_.button, down, jack.place(a_.tender), a_.tender_radius);
      case kLeverDropScrew:
        return tip_on_line(lever.place(a_.lever_drop),
                           lever.turn({std::sin(a_.lever_top.lean), std::cos(a_.lever_top.lean)}),
                           fixed_.drop_screw, a_.drop_screw_radius);
      case kShankRest:
        return tip_on_line(fixed_.rest_cushion, fixed_.rest_normal, hammer.place(fixed_.shank_under),
                           a_.shank_round);
      case kTailCheck:
        return face_on_curve(tail_, hammer, check_line_, check_, key);
      case kHammerString:
        return tip_on_line({a_.hammer_centre.x + a_.hammer_length, a_.string_y}, down,
                           hammer.place({a_.hammer_length, a_.bore - a_.crown_round}), a_.crown_round);
      case kJackStop:
        return stop(wippen, jack, fixed_.jack_stop, -1, a_.jack_stop_radius);
      case kJackOuterStop:
        return stop(wippen, jack, fixed_.jack_stop + a_.jack_travel, 1, a_.jack_stop_radius);
      case kLeverStop:
        return stop(wippen, lever, fixed_.lever_stop, -1, a_.lever_stop_radius);
      default:
        return stop(wippen, lever, fixed_.lever_stop + a_.lever_travel, 1, a_.lever_stop_radius);
    }
  }
  static Met stop(const Frame& base, const Frame& body, double limit, double sign, double radius) {
    const double angle = std::atan2(body.s * base.c - body.c * base.s, body.c * base.c + body.s * base.s);
    return {sign * radius * (angle - limit), {}, {}, 0};
  }

  // Roughness of the heel at x, and its slope: straight between the points, constant beyond.
  std::pair<double, double> roughness(double x) const {
    const std::vector<double>&s = a_.rough_x, &f = a_.rough_factor;
    if (s.empty()) return {1, 0};
    if (x <= s.front()) return {f.front(), 0};
    for (std::size_t k = 1; k < s.size(); ++k)
      if (x < s[k]) {
        const double slope = (f[k] - f[k - 1]) / (s[k] - s[k - 1]);
        return {f[k - 1] + slope * (x - s[k - 1]), slope};
      }
    return {f.back(), 0};
  }
  // How fast the contact travels along the heel: both bodies moved on and back by an instant.
  double travel_on_heel(std::array<Frame, kFrames> f) const {
    constexpr double kInstant = 1e-6;
    double x[2];
    for (const int way : {0, 1}) {
      std::array<Frame, kFrames> g = f;
      for (const int i : {kKey, kWippen}) {
        Frame& b = g[static_cast<std::size_t>(i)];
        const double angle = (way == 1 ? kInstant : -kInstant) * b.omega;
        const Point x_axis = rotated({b.c, b.s}, angle);
        b.c = x_axis.x;
        b.s = x_axis.y;
      }
      x[way] = find(kCapstanHeel, g).on_mate;
    }
    return (x[1] - x[0]) / (2 * kInstant);
  }

  void bear(int bearing, const std::array<Frame, kFrames>& f, const SimTK::Vector& z, Response& r) const {
    const auto i = static_cast<std::size_t>(bearing);
    Met m = find(bearing, f);
    const auto [under, over] = sides(bearing);
    const Frame &below = f[static_cast<std::size_t>(under)], &above = f[static_cast<std::size_t>(over)];
    const bool is_stop = bearing == kJackStop || bearing == kJackOuterStop || bearing == kLeverStop ||
                         bearing == kLeverOuterStop;
    const double radius =
        bearing == kJackStop || bearing == kJackOuterStop ? a_.jack_stop_radius : a_.lever_stop_radius;
    const double sign = bearing == kJackOuterStop || bearing == kLeverOuterStop ? 1 : -1;
    const Point apart = above.velocity(m.at) - below.velocity(m.at);
    double rate = is_stop ? sign * radius * (above.omega - below.omega) : -dot(apart, m.normal);
    if (bearing == kHammerString) {
      const auto [y, ydot] = string_moves(z);
      m.depth -= y;
      rate -= ydot;
    }
    const ClothForce c = press(a_.cloth[i], k_, m.depth, rate, z[at_memory(bearing)] * kDepthUnit);
    r.normal[i] = c.normal;
    r.rate[static_cast<std::size_t>(at_memory(bearing))] = c.rate_memory / kDepthUnit;
    if (is_stop) {
      add_couple(r, under, over, -sign * radius * c.normal);
      return;
    }
    Point force = c.normal * m.normal;
    if (a_.friction[i].mu > 0) {
      const Point along{m.normal.y, -m.normal.x};
      // Roughness acts as a press that changes.
      const auto [rough, slope] = bearing == kCapstanHeel ? roughness(m.on_mate) : std::pair{1.0, 0.0};
      const double travel = slope != 0 && m.depth > 0 ? travel_on_heel(f) : 0.0;
      const Rubbing t =
          rub(a_.friction[i], k_, rough * c.bearing, rough * c.rate_bearing + slope * travel * c.bearing,
              rough * m.depth, rough * rate + slope * travel * m.depth, dot(apart, along),
              z[at_bristle(bearing)] * kBristleUnit, rough * c.normal);
      r.friction[i] = t.force;
      r.rate[static_cast<std::size_t>(at_bristle(bearing))] = t.rate_w / kBristleUnit;
      force = force - t.force * along;
    }
    if (m.depth <= 0) return;
    add_force(f, r, over, m.at, force);
    add_force(f, r, under, m.at, -1 * force);
  }

  PlainAction a_;
  LawConstants k_;
  Fixed fixed_;
  Curve heel_;
  Face cap_;
  BaseLine check_line_;
  Curve check_;
  Face tail_, jack_, lever_;
  std::vector<StringMode> modes_;
  const SimTK::GeneralForceSubsystem& forces_;
  std::vector<MobilizedBody> bodies_;
  std::function<double(double)> pressed_;
};

SimTK::Body::Rigid rigid(const PlainMass& m) {
  // Only the inertia about z matters to a planar motion; a ball's keeps the tensor possible.
  const SimTK::Inertia about_centre(m.inertia, m.inertia, m.inertia);
  return SimTK::Body::Rigid(SimTK::MassProperties(m.mass, vec3(m.centre),
                                                  about_centre.shiftFromMassCenter(vec3(m.centre), m.mass)));
}

}  // namespace

SecondRun run_second(const PlainAction& a, const std::function<double(double)>& pressed,
                     const std::vector<double>& times, const SecondOptions& options) {
  SimTK::MultibodySystem system;
  SimTK::SimbodyMatterSubsystem matter(system);
  SimTK::GeneralForceSubsystem forces(system);
  const SimTK::Force::UniformGravity gravity(forces, matter, Vec3(0, -a.gravity, 0));
  const SimTK::Transform here;
  MobilizedBody& ground = matter.updGround();
  MobilizedBody::Pin key(ground, SimTK::Transform(vec3(a.balance)), rigid(a.masses[kKey]), here);
  MobilizedBody::Pin wippen(ground, SimTK::Transform(vec3(a.wippen_centre)), rigid(a.masses[kWippen]), here);
  MobilizedBody::Pin jack(wippen, SimTK::Transform(vec3(a.jack_centre)), rigid(a.masses[kJack]), here);
  MobilizedBody::Pin lever(wippen, SimTK::Transform(vec3(a.lever_centre)), rigid(a.masses[kLever]), here);
  MobilizedBody::Pin hammer(ground, SimTK::Transform(vec3(a.hammer_centre)), rigid(a.masses[kHammer]), here);
  std::vector<MobilizedBody> bodies{key, wippen, jack, lever, hammer};
  if (a.finger.present) {
    // Over the playing point of the key at rest.
    const double c = std::cos(a.rest[kKey]), s = std::sin(a.rest[kKey]);
    const Point& r = a.playing_point;
    const Point start{a.balance.x + r.x, a.balance.y + s * r.x + c * r.y + a.finger.start_height};
    const SimTK::Transform downwards(SimTK::Rotation(-0.5 * SimTK::Pi, SimTK::ZAxis), vec3(start));
    bodies.push_back(
        MobilizedBody::Slider(ground, downwards, rigid({a.finger.mass, {}, 1e-6 * a.finger.mass}), here));
  }
  bool quiet = true;
  auto* acting = new ActionForces(a, forces, bodies,
                                  [&](double t) { return quiet ? 0.0 : pressed(t); });  // owned by the force
  const SimTK::Force::Custom custom(forces, acting);

  State state = system.realizeTopology();
  system.realizeModel(state);
  key.setOneQ(state, 0, a.rest[kKey]);
  wippen.setOneQ(state, 0, a.rest[kWippen]);
  jack.setOneQ(state, 0, a.rest[kJack] - a.rest[kWippen]);
  lever.setOneQ(state, 0, a.rest[kLever] - a.rest[kWippen]);
  hammer.setOneQ(state, 0, a.rest[kHammer]);
  // At rest: cloth half way between loading and unloading, no bristle bent, bushings squeezed by the present
  // reaction.
  system.realize(state, SimTK::Stage::Velocity);
  for (int i = 0; i < kBearingCount; ++i)
    if (a.cloth[static_cast<std::size_t>(i)].hysteresis > 0)
      forces.updZ(state)[ActionForces::at_memory(i)] =
          std::max(0.0, acting->rest_depth(state, i)) / ActionForces::kDepthUnit;
  system.realize(state, SimTK::Stage::Velocity);
  system.realize(state, SimTK::Stage::Acceleration);
  std::array<double, kPinCount> squeezed{};
  for (int i = 0; i < kPinCount; ++i) squeezed[static_cast<std::size_t>(i)] = acting->reaction(state, i);
  SecondRun out;
  for (const MobilizedBody& b : {MobilizedBody(key), MobilizedBody(wippen), MobilizedBody(jack),
                                 MobilizedBody(lever), MobilizedBody(hammer)})
    out.rest_acceleration = std::max(out.rest_acceleration, std::abs(b.getBodyAcceleration(state)[0][2]));
  for (int i = 0; i < kPinCount; ++i)
    forces.updZ(state)[ActionForces::at_lagged(i)] =
        squeezed[static_cast<std::size_t>(i)] / ActionForces::kReactionUnit;
  quiet = false;

  SimTK::RungeKuttaMersonIntegrator integrator(system);
  integrator.setAccuracy(options.accuracy);
  integrator.setAllowInterpolation(false);
  integrator.initialize(state);
  acting->evaluations = 0;
  for (const double t : times) {
    while (integrator.getTime() < t) integrator.stepTo(t);
    const State& s = integrator.getState();
    system.realize(s, SimTK::Stage::Acceleration);
    const ActionForces::Response r = acting->evaluate(s);
    out.time.push_back(t);
    const double q_P = wippen.getOneQ(s, 0), v_P = wippen.getOneU(s, 0);
    const double q[kPartCount] = {key.getOneQ(s, 0), q_P, q_P + jack.getOneQ(s, 0), q_P + lever.getOneQ(s, 0),
                                  hammer.getOneQ(s, 0)};
    const double v[kPartCount] = {key.getOneU(s, 0), v_P, v_P + jack.getOneU(s, 0), v_P + lever.getOneU(s, 0),
                                  hammer.getOneU(s, 0)};
    for (std::size_t i = 0; i < kPartCount; ++i) {
      out.angle[i].push_back(q[i]);
      out.speed[i].push_back(v[i]);
    }
    for (std::size_t i = 0; i < kBearingCount; ++i) {
      out.normal[i].push_back(r.normal[i]);
      out.friction[i].push_back(r.friction[i]);
    }
    out.finger_normal.push_back(r.finger_normal);
    out.finger_position.push_back(a.finger.present ? bodies.back().getOneQ(s, 0) : 0.0);
  }
  out.steps = integrator.getNumStepsTaken();
  out.evaluations = acting->evaluations;
  return out;
}

}  // namespace leverwright::independent

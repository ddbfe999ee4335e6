#include "models/action/rest_position.h"

#include <fmt/format.h>

#include <Eigen/LU>
#include <algorithm>
#include <cmath>

namespace leverwright::action {

ScrewSettings with_trip_away(ScrewSettings s) {
  s[kLetOffButton] = kButtonAway;
  s[kDropScrew] = kDropScrewAway;
  s[kFrontPunching] = kPunchingAway;
  s[kBackCheck] = kCheckAway;
  return s;
}

namespace {

// A mechanism looked at in one position: forces of gravity and springs, and single contacts.
class Look {
 public:
  explicit Look(const Action& a) : a_(a), s_(a.mechanism) {}

  void at(const planar::VecQ& q) {
    s_.q = q;
    a_.mechanism.calc_contact_points(s_);
  }
  // Gravity and springs on every coordinate [N m].
  planar::VecQ weights() const {
    const auto& m = a_.mechanism;
    planar::VecQ r = planar::VecQ::Zero(m.n());
    for (int i = 0; i < m.n(); ++i) {
      const auto& b = m.tree.body(i);
      const auto at = static_cast<std::size_t>(i);
      if (b.mass > 0)
        m.tree.add_velocity_row(s_.poses, i, s_.poses[at].to_W(b.p_cm), b.mass * m.gravity, 1.0, r);
    }
    m.add_spring_forces(s_.q, r);
    return r;
  }
  const planar::ContactPoint& touch(ContactId place) { return s_.contact_points[index(place)]; }
  // d(depth)/dq of a contact, open or closed.
  const planar::VecQ& row(ContactId place) {
    a_.mechanism.contacts[index(place)]->complete(s_.poses, s_.contact_points[index(place)]);
    a_.mechanism.calc_rows(static_cast<int>(index(place)), s_);
    return s_.J_d[index(place)];
  }
  const planar::Cloth& cloth(ContactId place) const { return a_.mechanism.contacts[index(place)]->cloth; }

 private:
  std::size_t index(ContactId place) const { return static_cast<std::size_t>(a_.contact[place]); }
  const Action& a_;
  planar::Scratch s_;
};

constexpr double kClose = 1e-9;  // [m] to which the estimate closes each step

class Estimate {
 public:
  Estimate(const ActionDesign& d, const ScrewSettings& s, double blow, bool level)
      : design(d), screws(with_trip_away(s)), blow_(blow), level_(level) {
    design.patch_grade = false;
    if (level && design.options.has(kBalancePunching) && design.balance_punching_offset == 0) {
      constexpr double kStart = 3.0;  // [N] or so: key and action on the punching
      design.balance_punching_offset = design.key_options.punching.cloth.compression(kStart);
    }
    action_ = assemble(design, screws);
    q = action_.q_drawn;
  }

  std::optional<Failure> find() {
    if (auto f = place_hammer()) return f;
    if (auto f = place_jack()) return f;
    if (auto f = place_lever()) return f;
    if (auto f = load_stops()) return f;
    return seat_capstan();
  }

  ActionDesign design;
  ScrewSettings screws;
  planar::VecQ q;
  double spring_raised = 0;

 private:
  std::optional<Failure> place_hammer() {
    planar::VecQ turn = planar::VecQ::Zero(q.size());
    for (const int piece : action_.hammer_pieces) turn[piece] = 1;
    for (int it = 0; it < 60; ++it) {
      const double miss = action_.string_gap(q) - blow_;
      if (std::abs(miss) < kClose) return std::nullopt;
      q -= std::clamp(miss / action_.string_gap_rate(q, turn), -0.1, 0.1) * turn;
    }
    return Failure{
        "blow", blow_, action_.string_gap(q),
        "the hammer cannot stand so far from the string: check string height, hammer centre height, bore "
        "and hammer length"};
  }

  std::optional<Failure> place_jack() {
    const auto miss = [&](const planar::VecQ& at) {
      return Vec2(action_.jack_clearance(at) - design.jack_clearance,
                  action_.jack_offset(at) + design.jack_position);
    };
    Vec2 f = miss(q);
    for (int it = 0; it < 80; ++it) {
      if (f.cwiseAbs().maxCoeff() < kClose) {
        q[kLever] += q[kWippen];  // carried along so far
        return std::nullopt;
      }
      constexpr double h = 1e-7;
      Eigen::Matrix2d j;
      for (int k = 0; k < 2; ++k) {
        planar::VecQ probe = q;
        probe[k == 0 ? kWippen : kJack] += h;
        j.col(k) = (miss(probe) - f) / h;
      }
      Vec2 step = -j.partialPivLu().solve(f);
      if (!step.allFinite()) break;
      const double largest = step.cwiseAbs().maxCoeff();
      if (largest > 0.05) step *= 0.05 / largest;
      q[kWippen] += step.x();
      q[kJack] += step.y();
      f = miss(q);
    }
    return Failure{
        "jack position", 0, f.y(),
        "the jack does not reach the knuckle in line with its core: check jack length, spread, centre "
        "heights, hanging distance and knuckle diameter"};
  }

  double on_hammer(const planar::VecQ& r) const {
    double sum = 0;
    for (const int piece : action_.hammer_pieces) sum += r[piece];
    return sum;
  }

  // The lever so that it carries the hammer; the rest cushion takes its share where the shank lies on it, the jack
  // where it is pressed into the knuckle (negative clearance).
  std::optional<Failure> place_lever() {
    Look look(action_);
    for (int it = 0; it < 60; ++it) {
      look.at(q);
      double moment = on_hammer(look.weights());
      if (const double sunk = look.touch(kShankRest).depth; sunk > 0)
        moment -= look.cloth(kShankRest).elastic_force(sunk) * on_hammer(look.row(kShankRest));
      if (const double pressed = look.touch(kJackKnuckle).depth; pressed > 0) {
        load_on_jack_ = look.cloth(kJackKnuckle).elastic_force(pressed);
        moment -= load_on_jack_ * on_hammer(look.row(kJackKnuckle));
      }
      const planar::VecQ j = look.row(kLeverKnuckle);
      load_on_lever_ = moment / on_hammer(j);
      if (!(load_on_lever_ > 0) && load_on_jack_ > 0)
        return Failure{
            "lever height", design.jack_clearance, 0,
            "pressed so far into the knuckle the jack carries the hammer alone: a smaller negative "
            "jack_clearance"};
      if (!(load_on_lever_ > 0))
        return Failure{
            "blow", blow_, blow_,
            "at this blow the shank lies on its rest cushion and the lever carries nothing: lower the rest "
            "rail or shorten the blow"};
      const double miss =
          look.cloth(kLeverKnuckle).compression(load_on_lever_) - look.touch(kLeverKnuckle).depth;
      if (std::abs(miss) < kClose) return std::nullopt;
      q[kLever] += std::clamp(miss / j[kLever], -0.05, 0.05);
    }
    return Failure{
        "lever height", design.jack_clearance, 0,
        "the repetition lever does not reach the knuckle: check the lever's shape and centre, the spread "
        "and the knuckle"};
  }

  // What the stops and the heel have to bear: weights and springs, less what the knuckle presses back.
  planar::VecQ loads_of(Look& look) const {
    planar::VecQ r = look.weights() - load_on_lever_ * look.row(kLeverKnuckle);
    if (load_on_jack_ > 0) r -= load_on_jack_ * look.row(kJackKnuckle);
    return r;
  }

  std::optional<Failure> load_stops() {
    Look look(action_);
    look.at(q);
    const planar::VecQ r = loads_of(look);
    const double to_spare = r[kLever] / look.row(kLeverStopFelt)[kLever] * design.lever_stop_radius;
    if (to_spare < kLeastOnStop) {
      spring_raised = kLeastOnStop - to_spare;
      screws[kRepetitionSpring] += spring_raised;
      action_ = assemble(design, screws);
    }
    Look again(action_);
    again.at(q);
    loads_ = loads_of(again);
    const auto stop = [&](ContactId place, int body, double radius, double drawn, double& screw) {
      const planar::VecQ& j = again.row(place);
      const double load = loads_[body] / j[body];
      loads_ -= load * j;
      const double relative = q[body] - q[kWippen] - drawn;
      if (load > 0) screw = again.cloth(place).compression(load) + relative * radius;
      return load > 0;
    };
    const double jack_drawn = action_.q_drawn[kJack];
    if (!stop(kLeverStopFelt, kLever, design.lever_stop_radius, 0.0, screws[kLeverStop]))
      return Failure{"lever height", design.jack_clearance, 0,
                     "the repetition spring does not lift the lever to its stop"};
    if (!stop(kJackStopFelt, kJack, design.jack_stop_radius, jack_drawn, screws[kJackStop]))
      return Failure{
          "jack position", 0, 0,
          "the jack's spring does not hold the jack on its button: a stronger jack spring, or one hooked in"};
    return std::nullopt;
  }

  // To where the cap is clear of the heel: sunk into it, the place found would not be the one it meets on its
  // way up.
  void lower_capstan() {
    constexpr double kClear = 0.1e-3, kStride = 2e-3, kDeepest = 40e-3;  // [m]
    for (double gone = 0; gone < kDeepest; gone += kStride) {
      Look look(action_);
      look.at(q);
      if (look.touch(kCapstanHeel).depth < kClear) return;
      screws[kCapstan] -= kStride;
      action_ = assemble(design, screws);
    }
  }

  // Capstan height and key: both cloths compressed as their loads ask.
  std::optional<Failure> seat_capstan() {
    if (level_) q[kKey] = 0;
    lower_capstan();
    double off_heel = 0, off_rail = 0, rail_load = 0;
    for (int it = 0; it < 120; ++it) {
      action_ = assemble(design, screws);
      Look look(action_);
      look.at(q);
      const planar::VecQ j_heel = look.row(kCapstanHeel);
      const double load = loads_[kWippen] / j_heel[kWippen];
      if (!(load > 0))
        return Failure{
            "capstan height", 0, 0,
            "the capstan meets the heel where it cannot lift the wippen: check the heel's profile, capstan "
            "place and lean"};
      off_heel = look.cloth(kCapstanHeel).compression(load) - look.touch(kCapstanHeel).depth;
      const double rise = std::max(0.3, look.touch(kCapstanHeel).n.y());
      const planar::VecQ j_rail = look.row(kKeyBackRail);
      rail_load = (look.weights()[kKey] - load * j_heel[kKey]) / j_rail[kKey];
      off_rail =
          look.cloth(kKeyBackRail).compression(std::max(rail_load, 1e-3)) - look.touch(kKeyBackRail).depth;
      if (std::abs(off_heel) < kClose && std::abs(off_rail) < kClose && rail_load > 0) return std::nullopt;
      screws[kCapstan] += std::clamp(off_heel / rise, -2e-3, 2e-3);
      if (level_)
        design.back_rail_offset += std::clamp(off_rail, -1e-3, 1e-3);
      else
        q[kKey] += std::clamp(off_rail / j_rail[kKey], -5e-3, 5e-3);
    }
    if (!(rail_load > 0))
      return Failure{
          "key at rest", 0, 0,
          "the key is too heavy in front to come back on its back-rail cloth: take lead out, or check front "
          "weight, strike weight and assist spring"};
    return Failure{
        "capstan height", 0, screws[kCapstan],
        "the capstan finds no height at which it carries the heel: check the heel's profile, capstan place "
        "and heights"};
  }

  double blow_;
  bool level_;
  Action action_;
  double load_on_lever_ = 0, load_on_jack_ = 0;  // of the knuckle [N]
  planar::VecQ loads_;
};

constexpr double kTight = 1e-10, kMetTolerance = 2e-6;  // [m]; [m] to which a requirement counts as met

// The requirements as a function of screws and, for a key to be levelled, its two cloths.
class Requirements {
 public:
  Requirements(ActionDesign& d, const ScrewSettings& s, double blow, bool level, const planar::VecQ& start,
               int& evaluations)
      : design(d), screws(s), q(start), blow_(blow), level_(level), evaluations_(evaluations) {
    count_ = 3 + (level ? 1 : 0) + (level && d.options.has(kBalancePunching) ? 1 : 0);
  }
  int count() const { return count_; }

  void move(const Eigen::VectorXd& by) {
    screws[kCapstan] += by[0];
    screws[kLeverStop] += by[1];
    screws[kJackStop] += by[2];
    if (count_ > 3) design.back_rail_offset += by[3];
    if (count_ > 4) design.balance_punching_offset += by[4];
  }

  // Searches the rest from q; q moves there.
  bool miss(Eigen::VectorXd& f, run::StaticState* rest = nullptr) {
    const Action a = assemble(design, screws);
    run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
    run::StaticState state = solver.initial(q);
    const bool ok = solver.solve_equilibrium(state);
    evaluations_ += solver.evaluations();
    if (!ok) return false;
    q = state.q;
    f.resize(count_);
    f[0] = a.string_gap(q) - blow_;
    f[1] = a.jack_clearance(q) - design.jack_clearance;
    f[2] = a.jack_offset(q) + design.jack_position;
    constexpr double kArm = 0.1;  // [m], so that an angle counts as a length
    if (count_ > 3) f[3] = kArm * q[kKey];
    if (count_ > 4) f[4] = q[a.lift_body];
    if (rest) *rest = state;
    return true;
  }

  ActionDesign& design;
  ScrewSettings screws;
  planar::VecQ q;

 private:
  double blow_;
  bool level_;
  int& evaluations_;
  int count_ = 3;
};

// Newton with a difference Jacobian, kept while it serves.
bool solve(Requirements& x) {
  Eigen::VectorXd f;
  if (!x.miss(f)) return false;
  Eigen::MatrixXd j;
  bool fresh = false;
  for (int it = 0; it < 40 && f.cwiseAbs().maxCoeff() > kTight; ++it) {
    const double before = f.cwiseAbs().maxCoeff();
    if (j.size() == 0 || !fresh) {
      j.resize(x.count(), x.count());
      const planar::VecQ here = x.q;
      for (int k = 0; k < x.count(); ++k) {
        constexpr double h = 1e-7;
        Eigen::VectorXd by = Eigen::VectorXd::Zero(x.count()), g;
        by[k] = h;
        x.move(by);
        const bool ok = x.miss(g);
        x.move(-by);
        x.q = here;
        if (!ok) return false;
        j.col(k) = (g - f) / h;
      }
      fresh = true;
    }
    Eigen::VectorXd step = -j.partialPivLu().solve(f);
    if (!step.allFinite()) return false;
    const double largest = step.cwiseAbs().maxCoeff();
    if (largest > 0.5e-3) step *= 0.5e-3 / largest;
    const planar::VecQ here = x.q;
    Eigen::VectorXd g;
    bool better = false;
    for (int halving = 0; halving < 6 && !better; ++halving) {
      x.move(step);
      better = x.miss(g) && g.cwiseAbs().maxCoeff() < before;
      if (better) break;
      x.move(-step);
      x.q = here;
      step *= 0.5;
    }
    if (!better) return before < kMetTolerance;
    f = g;
    fresh = f.cwiseAbs().maxCoeff() < 0.1 * before;
  }
  return f.cwiseAbs().maxCoeff() < kMetTolerance;
}

}  // namespace

RestPosition solve_rest(ActionDesign& d, const ScrewSettings& screws, double blow, bool level_key) {
  RestPosition out;
  out.screws = screws;
  ActionDesign start = d;
  if (level_key) start.back_rail_offset = start.balance_punching_offset = 0;
  Estimate estimate(start, screws, blow, level_key);
  if (auto f = estimate.find()) {
    out.failure = *f;
    out.screws[kRepetitionSpring] = estimate.screws[kRepetitionSpring];
    out.spring_raised = estimate.spring_raised;
    return out;
  }
  estimate.design.patch_grade = d.patch_grade;
  Requirements x(estimate.design, estimate.screws, blow, level_key, estimate.q, out.evaluations);
  Eigen::VectorXd f;
  const bool solved = solve(x);
  out.spring_raised = estimate.spring_raised;
  for (const Screw k : {kCapstan, kLeverStop, kJackStop, kRepetitionSpring}) out.screws[k] = x.screws[k];
  if (!solved || !x.miss(f, &out.state)) {
    out.failure = {"rest position", blow, 0,
                   "the capstan, lever height and jack button cannot bring the rest position there: check "
                   "for parts that "
                   "miss or overlap each other"};
    return out;
  }
  if (level_key) {
    d.back_rail_offset = estimate.design.back_rail_offset;
    d.balance_punching_offset = estimate.design.balance_punching_offset;
  }
  out.found = true;
  return out;
}

namespace {

// Angle of one body at which a contact is `depth` deep, the others as they stand; false when it does not come
// there.
bool close_contact(Look& look, planar::VecQ& q, ContactId place, const std::vector<int>& bodies,
                   double depth) {
  for (int it = 0; it < 60; ++it) {
    look.at(q);
    const double miss = depth - look.touch(place).depth;
    if (std::abs(miss) < 1e-7) return true;
    const planar::VecQ& j = look.row(place);
    double slope = 0;
    for (const int body : bodies) slope += j[body];
    const double step = miss / slope;
    if (!std::isfinite(step)) return false;
    for (const int body : bodies) q[body] += std::clamp(step, -0.03, 0.03);
  }
  return false;
}

// The parts laid on one another from the key upwards, each contact just closed: nothing is inside anything
// else.
planar::VecQ laid_together(const Action& a) {
  planar::VecQ q = a.q_drawn;
  Look look(a);
  constexpr double kSunk = 0.05e-3;  // [m]
  const planar::VecQ drawn = q;
  if (!close_contact(look, q, kCapstanHeel, {kWippen}, kSunk)) return drawn;
  q[kJack] += q[kWippen];
  q[kLever] += q[kWippen];
  if (!close_contact(look, q, kJackStopFelt, {kJack}, kSunk)) return drawn;
  if (!close_contact(look, q, kLeverStopFelt, {kLever}, kSunk)) return drawn;
  const planar::VecQ before = q;
  if (!close_contact(look, q, kLeverKnuckle, a.hammer_pieces, kSunk)) q = before;
  look.at(q);
  if (look.touch(kJackKnuckle).depth > kSunk && !close_contact(look, q, kJackKnuckle, a.hammer_pieces, kSunk))
    q = before;
  return q;
}

}  // namespace

std::optional<run::StaticState> find_rest_as_set(const Action& a) {
  run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
  for (const bool drawn : {false, true}) {
    run::StaticState state = solver.initial(drawn || a.design.patch_grade ? a.q_drawn : laid_together(a));
    if (solver.solve_equilibrium(state)) return state;
  }
  return std::nullopt;
}

}  // namespace leverwright::action

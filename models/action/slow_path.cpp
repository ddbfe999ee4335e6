#include "models/action/slow_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

#include "models/action/rest_position.h"

namespace leverwright::action {

namespace {

using planar::VecQ;

constexpr double kPenetration = 0.2e-3;  // [m] of the crown into the string at which the way ends

// Goes down one action's path, step by step.
class Walker {
 public:
  Walker(const Action& a, double travel_rest, double dip, const run::StaticState& state)
      : a_(a),
        solver_(a.mechanism, kKey, a.playing_point, true),
        scratch_(a.mechanism),
        travel_rest_(travel_rest),
        dip_(dip),
        state_(state) {
    slope_.setZero(state.q.size());
  }

  double dip() const { return dip_; }
  const run::StaticState& state() const { return state_; }
  double gap() const { return a_.string_gap(state_.q); }
  int evaluations() const { return solver_.evaluations(); }
  double depth_of(ContactId place) {
    scratch_.q = state_.q;
    a_.mechanism.tree.calc_poses(scratch_.q, scratch_.v, scratch_.poses);
    return a_.mechanism.contacts[static_cast<std::size_t>(a_.contact[place])]->locate(scratch_.poses).depth;
  }

  // The memories take up what they carry before the key moves.
  bool begin() {
    run::StaticState trial = state_;
    if (!solver_.settle(solver_.driven_for(travel_rest_ + dip_), trial)) return false;
    state_ = trial;
    return true;
  }

  // One step of at most `stride`; shorter where the path bends sharply. False when it is lost. `snapped` says
  // that something fell over in it.
  bool step(double stride, bool& snapped) {
    snapped = false;
    const double key = state_.q[kKey];
    for (double h = std::min(stride, longest_); h > Trip::kSnap; h /= kGrowth) {
      const double value = solver_.driven_for(travel_rest_ + dip_ + h);
      run::StaticState trial = state_;
      if (solver_.follow(state_.q + h * slope_, value, trial)) {
        // A neighbour on the branch lies where the last step pointed, more or less; anything else is gone up
        // to closer, and the strides grow again from there.
        constexpr double kSome = 1e-4, kBend = 0.3,
                         kSteep = 15.0;  // [rad], share of the way, [rad per rad of the key]
        const VecQ way = trial.q - state_.q;
        const double ordinary = kSteep * std::abs(value - key), foreseen = (h * slope_).cwiseAbs().maxCoeff();
        const bool tame = foreseen > 0 ? (way - h * slope_).cwiseAbs().maxCoeff() <=
                                             std::max(kSome, kBend * std::min(foreseen, ordinary))
                                       : way.cwiseAbs().maxCoeff() <= 2 * ordinary + kSome;
        if (tame) {
          longest_ = kGrowth * h;
          slope_ = (trial.q - state_.q) / h;
          state_ = trial;
          dip_ += h;
          return true;
        }
      }
    }
    slope_.setZero();
    longest_ = 1;
    snapped = true;
    constexpr double kOverTheEdge = 2e-6;  // [m]: far enough for the fall to begin
    for (double h = kOverTheEdge; h < 1e-4; h *= 4.0) {
      run::StaticState trial = state_;
      if (!solver_.settle(solver_.driven_for(travel_rest_ + dip_ + h), trial)) continue;
      state_ = trial;
      dip_ += h;
      return true;
    }
    return false;
  }

 private:
  const Action& a_;
  run::StaticSolver solver_;
  planar::Scratch scratch_;
  double travel_rest_, dip_;
  run::StaticState state_;
  VecQ slope_;
  double longest_ = 1;  // [m] the next step may be
  static constexpr double kGrowth = 4;
};

// Vertex of the parabola through three points; the middle one where they lie on a line.
std::pair<double, double> vertex(const std::array<double, 3>& x, const std::array<double, 3>& y) {
  const double d1 = (y[1] - y[0]) / (x[1] - x[0]), d2 = (y[2] - y[1]) / (x[2] - x[1]);
  const double bend = (d2 - d1) / (x[2] - x[0]);
  if (bend == 0) return {x[1], y[1]};
  const double at = std::clamp(0.5 * (x[0] + x[1]) - 0.5 * d1 / bend, x[0], x[2]);
  return {at, y[0] + d1 * (at - x[0]) + bend * (at - x[0]) * (at - x[1])};
}

}  // namespace

Trip::Trip(const ActionDesign& d, const ScrewSettings& screws, const run::StaticState& rest, double dip_limit)
    : design_(d), screws_(with_trip_away(screws)), dip_limit_(dip_limit), free_(assemble(design_, screws_)) {
  run::StaticSolver solver(free_.mechanism, kKey, free_.playing_point, true);
  travel_rest_ = solver.travel_of(rest.q);
  Walker walker(free_, travel_rest_, 0, solver.initial(rest.q));
  bool snapped = false;
  if (walker.begin()) {
    way_.push_back({0, walker.state(), walker.gap()});
    while (walker.dip() < dip_limit && walker.gap() > -kPenetration && walker.step(kStride, snapped))
      way_.push_back({walker.dip(), walker.state(), walker.gap()});
  }
  evaluations_ += walker.evaluations();
}

double Trip::passing_check(double wanted) const {
  constexpr double kStep = 0.5e-3, kFarthest = 25e-3, kClear = 0.2e-3;  // [m]
  for (double back = 0; back < kFarthest; back += kStep) {
    ScrewSettings s = screws_;
    s[kBackCheck] = wanted - back;
    const Action a = assemble(design_, s);
    const planar::Contact& check = *a.mechanism.contacts[static_cast<std::size_t>(a.contact[kTailCheck])];
    planar::Scratch scratch(a.mechanism);
    const bool passes = std::all_of(way_.begin(), way_.end(), [&](const Point& p) {
      scratch.q = p.state.q;
      a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
      return check.locate(scratch.poses).depth < (back > 0 ? -kClear : 0.0);
    });
    if (passes) return wanted - back;
  }
  return wanted;
}

double Trip::nearest() const {
  double least = 1;
  for (const Point& p : way_) least = std::min(least, p.gap);
  return least;
}

const Trip::Point* Trip::first_at_gap(double gap) {
  for (const Point& p : way_)
    if (p.gap <= gap) return &p;
  return nullptr;
}

std::optional<double> Trip::touching_at(double gap, ContactId place, Screw screw) {
  const Point* p = first_at_gap(gap);
  if (!p) return std::nullopt;
  planar::Scratch s(free_.mechanism);
  s.q = p->state.q;
  free_.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  const auto t = free_.mechanism.contacts[static_cast<std::size_t>(free_.contact[place])]->locate(s.poses);
  return screws_[screw] + t.depth / std::abs(t.n.y());
}

std::optional<double> Trip::button_touching_at(double gap) {
  return touching_at(gap, kTenderButton, kLetOffButton);
}

std::optional<double> Trip::drop_screw_touching_at(double gap) {
  return touching_at(gap, kLeverDropScrew, kDropScrew);
}

TripReading Trip::read(double button, double drop_screw) {
  TripReading out;
  if (way_.empty()) {
    out.lost = true;
    return out;
  }
  ScrewSettings s = screws_;
  s[kLetOffButton] = button;
  s[kDropScrew] = drop_screw;
  const Action a = assemble(design_, s);
  // Deepest of the two contacts in a state: below zero while both are open.
  planar::Scratch scratch(a.mechanism);
  const auto deepest = [&](const run::StaticState& state) {
    scratch.q = state.q;
    a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
    double most = -1;
    for (const ContactId place : {kTenderButton, kLeverDropScrew})
      most = std::max(
          most,
          a.mechanism.contacts[static_cast<std::size_t>(a.contact[place])]->locate(scratch.poses).depth);
    return most;
  };
  // The last point of the way with both open, and from there, in one step, to where the first of them closes:
  // the short steps begin there, so that what is read changes evenly with both screws.
  std::size_t from = 0;
  while (from + 1 < way_.size() && deepest(way_[from + 1].state) < 0) ++from;
  Walker walker(a, travel_rest_, way_[from].dip, way_[from].state);
  if (from + 1 < way_.size()) {
    double low = 0, high = way_[from + 1].dip - way_[from].dip;
    double at_low = deepest(way_[from].state), at_high = deepest(way_[from + 1].state);
    for (int it = 0; it < 12 && at_low < 0 && high - low > 1e-8; ++it) {
      const double h = std::clamp(low - at_low * (high - low) / (at_high - at_low), low + 0.02 * (high - low),
                                  high - 0.02 * (high - low));
      Walker probe(free_, travel_rest_, way_[from].dip, way_[from].state);
      bool snapped = false;
      if (!probe.step(h, snapped) || snapped) break;
      const double depth = deepest(probe.state());
      (depth < 0 ? low : high) = h;
      (depth < 0 ? at_low : at_high) = depth;
      evaluations_ += probe.evaluations();
      if (depth < 0 && depth > -1e-8) break;
    }
    bool snapped = false;
    if (low > 0) (void)walker.step(low, snapped);
  }

  // Where a contact closes within the last step, from its gaps at the two points before.
  struct Closing {
    ContactId place;
    double before = 0, dip_before = 0, rate = 0;
    double closed_at = 0;
  };
  std::array<Closing, 2> closings = {Closing{kTenderButton}, Closing{kLeverDropScrew}};
  const auto watch = [&](bool first) {
    for (Closing& c : closings) {
      if (c.closed_at > 0) continue;
      const double depth = walker.depth_of(c.place);
      if (depth > 0) {
        const double rate = c.rate > 0 ? c.rate : (depth - c.before) / (walker.dip() - c.dip_before);
        c.closed_at = first ? walker.dip() : std::min(walker.dip(), c.dip_before - c.before / rate);
        continue;
      }
      if (!first && walker.dip() > c.dip_before) c.rate = (depth - c.before) / (walker.dip() - c.dip_before);
      c.before = depth;
      c.dip_before = walker.dip();
    }
  };
  watch(true);
  struct Seen {
    double dip, gap;
    bool snapped;
    run::StaticState state;
  };
  std::vector<Seen> seen = {{walker.dip(), walker.gap(), false, walker.state()}};
  // Turning point of the gap (sign +1: lowest, -1: highest) before the last point, walked again in short
  // steps where it is smooth.
  const auto turning = [&](double sign) -> std::pair<double, double> {
    const std::size_t n = seen.size();
    const Seen &last = seen[n - 1], &top = seen[n - 2];
    if (last.snapped) return {top.dip, top.gap};
    const Seen& before = n < 3 || top.snapped ? top : seen[n - 3];
    Walker again(a, travel_rest_, before.dip, before.state);
    std::array<double, 3> x{}, y{};
    x.fill(before.dip);
    y.fill(before.gap);
    const double h = std::max(kSnap * 4, (last.dip - before.dip) / 16);
    int count = 1;
    bool fell = false;
    std::pair<double, double> turn = {top.dip, top.gap};
    while (again.dip() < last.dip + h && again.step(h, fell) && !fell) {
      x = {x[1], x[2], again.dip()};
      y = {y[1], y[2], again.gap()};
      ++count;
      if (sign * (y[2] - y[1]) <= 0) continue;
      turn = count >= 3 ? vertex(x, y) : std::pair<double, double>(x[1], y[1]);
      break;
    }
    evaluations_ += again.evaluations();
    return turn;
  };
  bool snapped = false;
  while (walker.dip() < dip_limit_) {
    if (!walker.step(kFine, snapped)) {
      out.lost = !out.found;
      break;
    }
    watch(false);
    out.tender_met = closings[0].closed_at > 0;
    seen.push_back({walker.dip(), walker.gap(), snapped, walker.state()});
    const double rise = seen.back().gap - seen[seen.size() - 2].gap;
    if (!out.found) {
      if (walker.gap() <= 0) {
        out.blocked = true;
        break;
      }
      if (out.tender_met && rise > 0) {
        std::tie(out.dip_let_off, out.let_off) = turning(1.0);
        out.found = true;
      }
    } else if (rise < 0) {
      std::tie(out.dip_drop, out.drop) = turning(-1.0);
      out.drop -= out.let_off;
      out.drop_found = true;
      break;
    }
  }
  if (out.found && !out.drop_found) {  // still falling at the end of the travel: the drop so far
    out.dip_drop = seen.back().dip;
    out.drop = seen.back().gap - out.let_off;
  }
  out.dip_button = closings[0].closed_at;
  out.drop_screw_met = closings[1].closed_at > 0;
  out.dip_drop_screw = closings[1].closed_at;
  evaluations_ += walker.evaluations();
  return out;
}

}  // namespace leverwright::action

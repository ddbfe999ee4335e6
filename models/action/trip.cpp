#include "models/action/trip.h"

#include <Eigen/LU>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <optional>

namespace leverwright::action {

namespace {

constexpr double kLetOffTight = 1.5e-6, kDropTight = 3e-6;  // [m]; the path itself is good to a micrometre
constexpr double kMet = 6e-6;                               // [m] to which a requirement counts as met

class TripSolver {
 public:
  TripSolver(Trip& trip, const ActionDesign& d) : trip_(trip), d_(d) {}

  TripSolution solve() {
    // Where they would touch on the way up: the tender some millimetres before let-off, the lever a little
    // later.
    constexpr double kButtonBefore = 4.5e-3, kScrewBefore = 2.0e-3;  // [m] of crown-string distance
    const auto screw = trip_.drop_screw_touching_at(d_.let_off + d_.drop + kScrewBefore);
    const auto button = trip_.button_touching_at(d_.let_off + kButtonBefore);
    if (!screw || !button) {
      out_.failures.push_back(
          {"let-off", d_.let_off, trip_.nearest(),
           "the hammer does not come near the string within the travel of the key: try a shorter "
           "blow or more dip"});
      return out_;
    }
    out_.button = *button;
    out_.drop_screw = *screw;
    if (!by_newton(*button, *screw)) by_brackets(*button, *screw);
    return out_;
  }

 private:
  struct Miss {
    double let_off = 0, drop = 0;
    double size() const { return std::max(std::abs(let_off), std::abs(drop)); }
    bool tight() const { return std::abs(let_off) < kLetOffTight && std::abs(drop) < kDropTight; }
  };

  std::optional<Miss> miss(double button, double screw) {
    if (++reads_ > kMostReads || trip_.evaluations() > kMostEvaluations) return std::nullopt;
    const TripReading r = trip_.read(button, screw);
    last_ = r;
    if (!r.found) return std::nullopt;
    const Miss m{r.let_off - d_.let_off, r.drop - d_.drop};
    if (!best_ || m.size() < best_->size()) {
      best_ = m;
      out_.button = button;
      out_.drop_screw = screw;
      out_.reading = r;
    }
    return m;
  }

  bool by_newton(double button, double screw) {
    constexpr double kProbe = 0.05e-3, kLongest = 0.8e-3;  // [m]
    std::optional<Miss> f = miss(button, screw);
    for (int k = 0; !f && k < 8; ++k)
      f = miss(button -= 0.4e-3, screw);  // it comes to the string: lower the button
    if (!f) return false;
    Eigen::Matrix2d j;
    bool known = false;
    int stalls = 0;
    for (int it = 0; it < 24; ++it) {
      if (f->tight()) return true;
      if (!known) {
        // A button lowered over a screw that leaves hardly a drop leaves none: then the other way.
        double down = kProbe;
        auto by_button = miss(button - down, screw);
        if (!by_button) {
          down = -kProbe;
          by_button = miss(button - down, screw);
        }
        const auto by_screw = miss(button, screw - kProbe);
        if (!by_button || !by_screw) return false;
        j << (f->let_off - by_button->let_off) / down, (f->let_off - by_screw->let_off) / kProbe,
            (f->drop - by_button->drop) / down, (f->drop - by_screw->drop) / kProbe;
        known = true;
      }
      Eigen::Vector2d step = -j.partialPivLu().solve(Eigen::Vector2d(f->let_off, f->drop));
      if (!step.allFinite()) return false;
      const double largest = step.cwiseAbs().maxCoeff();
      if (largest > kLongest) step *= kLongest / largest;
      std::optional<Miss> g;
      bool better = false;
      for (int halving = 0; halving < 4; ++halving, step *= 0.5) {
        g = miss(button + step[0], screw + step[1]);
        better = g && g->size() < f->size();
        if (better) break;
      }
      if (!better) {
        known = false;
        if (++stalls > 2) return best_ && best_->size() < kMet;
        continue;
      }
      const Eigen::Vector2d change(g->let_off - f->let_off, g->drop - f->drop);
      j += (change - j * step) * step.transpose() / step.squaredNorm();
      known = g->size() < 0.5 * f->size();
      button += step[0];
      screw += step[1];
      f = g;
    }
    return best_ && best_->size() < kMet;
  }

  // Root of a miss that falls with x, from `start` outwards within `reach` of it.
  template <class F>
  static std::optional<double> falling_root(F f, double start, double stride, double reach,
                                            double tolerance) {
    double best = 1, best_x = start;
    const auto g = [&](double x) {
      const double y = f(x);
      if (std::abs(y) < std::abs(best)) {
        best = y;
        best_x = x;
      }
      return std::abs(y) < tolerance ? 0.0 : y;
    };
    double x = start, y = g(x);
    if (y == 0) return x;
    const double way = y > 0 ? 1.0 : -1.0;
    double x2 = x, y2 = y;
    while (y2 * y > 0) {
      x = x2;
      y = y2;
      x2 += way * stride;
      stride *= 1.5;
      if (std::abs(x2 - start) > reach) return std::nullopt;
      y2 = g(x2);
    }
    if (y2 == 0) return x2;
    std::uintmax_t iterations = 60;
    const bool up = x < x2;
    boost::math::tools::toms748_solve(
        g, up ? x : x2, up ? x2 : x, up ? y : y2, up ? y2 : y,
        [](double a, double b) { return std::abs(b - a) < 1e-9; }, iterations);
    return best_x;
  }

  static constexpr double kReach = 12e-3;  // [m] either way

  std::optional<double> button_for(double start, double screw) {
    return falling_root(
        [&](double button) {
          const auto m = miss(button, screw);
          if (m) return m->let_off;
          return last_.blocked || last_.tender_met ? -d_.let_off - 1e-3 : -d_.let_off - 2e-3;  // too late
        },
        start, 0.2e-3, kReach, kLetOffTight);
  }

  void by_brackets(double button, double screw) {
    double at = button;
    (void)falling_root(
        [&](double s) {
          const auto b = button_for(at, s);
          const auto m = b ? miss(*b, s) : std::nullopt;
          // A button that goes far off seeks a let-off where there is no drop: the screw is too low.
          if (!m || std::abs(m->let_off) > kMet) return -d_.drop;
          at = *b;
          return m->drop;
        },
        screw, 0.2e-3, kReach, kDropTight);
    if (best_ && best_->size() < kMet) return;
    // Which of the two it is: without the drop in mind, does the button bring let-off there?
    const bool let_off_met = best_ && std::abs(best_->let_off) <= kMet;
    if (!let_off_met) {
      const bool reached = button_for(button, screw).has_value();
      if (!best_ || !reached) {
        out_.failures.push_back(
            {"let-off", d_.let_off, best_ ? d_.let_off + best_->let_off : 0.0,
             !best_
                 ? "the hammer never lets off within the dip: try more dip, a shorter blow or a shorter jack"
                 : "the let-off button cannot bring let-off there"});
        return;
      }
    }
    out_.failures.push_back(
        {"drop", d_.drop, d_.drop + best_->drop,
         "the drop screw cannot bring the drop there: try another let-off or aftertouch"});
  }

  Trip& trip_;
  const ActionDesign& d_;
  TripSolution out_;
  TripReading last_;
  std::optional<Miss> best_;
  static constexpr int kMostReads = 120;
  // A blow takes some ten thousand; what takes half a second is no action a hand could set, and is refused with what
  // it missed.
  static constexpr int kMostEvaluations = 400'000;
  int reads_ = 0;
};

}  // namespace

TripSolution solve_trip(Trip& trip, const ActionDesign& d) { return TripSolver(trip, d).solve(); }

double punching_compression(const ActionDesign& d) {
  const planar::Cloth& cloth = d.laws[kKeyFrontPunching].cloth;
  return cloth.compression(d.dip_force / (1.0 + cloth.hysteresis()));
}

}  // namespace leverwright::action

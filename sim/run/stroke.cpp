#include "sim/run/stroke.h"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cassert>
#include <cmath>
#include <limits>

#include "sim/base/error.h"
#include "sim/run/flush_denormals.h"
#include "sim/run/step_control.h"

namespace leverwright::run {

using planar::Mechanism;
using planar::Scratch;

namespace {

// Root of f in [a, b] to the last few bits of time. f(a) and f(b) differ in sign.
template <class F>
double locate(F f, double a, double b, double fa, double fb) {
  if (fa == 0) return a;
  if (fb == 0) return b;
  assert((fa < 0) != (fb < 0));
  std::uintmax_t iterations = 60;
  const auto close_enough = [](double lo, double hi) { return hi - lo <= 1e-13 + 4e-16 * std::abs(hi); };
  const auto root = boost::math::tools::toms748_solve(f, a, b, fa, fb, close_enough, iterations);
  return root.second;  // the side after the crossing
}

}  // namespace

class Stroke::Engine {
 public:
  Engine(const Mechanism& m, const Drive& drive, const StrokeOptions& options, const ErrorScales& scales)
      : model_(m),
        drive_(drive),
        options_(options),
        ruler_(m, scales, options.tolerance),
        stepper_(MechanismErrorChecker(&ruler_, &rhs_)),
        rhs_(m),
        look_(m),
        breakpoints_(drive.breakpoints()) {
    const auto size = static_cast<std::size_t>(m.state_size());
    for (StrokeState* v : {&x_, &dxdt_, &x_new_, &dxdt_new_, &x_look_, &dx_look_}) v->assign(size, 0.0);
    stepper_.adjust_size(x_);
    stepper_.stepper().adjust_size(x_);
    stepper_.stepper().set_integrals(audit_index(), audit_end());
    const std::size_t groups = m.groups().size();
    depth_.assign(groups, -1.0);
    depth_new_.assign(groups, -1.0);
    bears_.assign(groups, false);
    touched_.assign(groups, false);
    closed_at_.assign(groups, -std::numeric_limits<double>::infinity());
    located_.reserve(4 * groups + 32);
  }

  // Right-hand side for Odeint.
  void operator()(const StrokeState& x, StrokeState& dxdt, double t) {
    ++statistics_.rhs_calls;
    model_.calc_rates(x.data(), dxdt.data(), drive_.at(std::min(t, drive_until_)), rhs_);
    for (std::size_t i = 0; i < model_.contacts.size(); ++i)
      if (rhs_.contact_points[i].depth > 0) touched_[group(i)] = true;
    if (rhs_.strings_alone)
      for (const planar::StringBehind& b : model_.strings)
        if (rhs_.contact_points[static_cast<std::size_t>(b.contact)].depth > -alone_reach_)
          string_met_ = true;
  }

  void watch(EventFunction e) {
    watched_.push_back({std::move(e), 0.0, false});
    located_.reserve(located_.capacity() + 4);
  }

  void start(double t, const StrokeState& x, Recorder* recorder) {
    assert(x.size() == x_.size());
    const FlushDenormals flush;
    t_ = t;
    x_ = x;
    std::fill(x_.begin() + model_.at_audit(), x_.begin() + model_.end_of_audit(), 0.0);
    recorder_ = recorder;
    statistics_ = {};
    audit_ = {};
    last_event_ = nullptr;
    next_sample_ = 0;
    t_start_ = t;
    step_ = kAfterRestart;
    put_prescribed(t_, x_);
    string_met_ = rhs_.strings_alone = look_.strings_alone = false;
    stepper_.stepper().set_moving(x_.size());
    restart();
    leave_strings_alone();
    for (std::size_t g = 0; g < depth_.size(); ++g) bears_[g] = depth_[g] > 0;
    stored_start_ = calc_stored(model_, x_.data(), rhs_).sum();
    if (recorder_) {
      recorder_->on_start(model_);
      write_samples(t_);
    }
  }

  bool advance(double t_end) {
    const FlushDenormals flush;
    bool on = true;
    while (on && t_ < t_end) on = step(t_end);
    if (rhs_.strings_alone) swing_on();
    return on;
  }

  EnergyAudit audit() {
    EnergyAudit out = audit_;
    Scratch& s = look_;
    model_.calc_rates(x_.data(), dx_look_.data(), drive_.at(t_), s);
    out.stored_change = calc_stored(model_, x_.data(), s).sum() - stored_start_;
    out.work = x_[audit_index()];
    for (std::size_t i = audit_index() + 1; i < audit_end(); ++i) out.losses += x_[i];
    return out;
  }

  const Mechanism& model_;
  double t_ = 0;
  StrokeState x_;
  StrokeStatistics statistics_;
  const std::string* last_event_ = nullptr;
  const Scratch& scratch() const { return rhs_; }

 private:
  struct Watched {
    EventFunction event;
    double value;  // at the start of the step
    bool done;
  };
  struct Located {
    double t;
    EventKind kind;
    int index;
  };

  std::size_t group(std::size_t contact) const {
    return static_cast<std::size_t>(model_.group_of(static_cast<int>(contact)));
  }
  std::size_t audit_index() const { return static_cast<std::size_t>(model_.at_audit()); }
  std::size_t audit_end() const { return static_cast<std::size_t>(model_.end_of_audit()); }

  void put_prescribed(double t, StrokeState& x) const {
    if (drive_.moved_coordinate() < 0) return;
    model_.put_prescribed(drive_.at(t), x.data() + model_.at_q(0), x.data() + model_.at_v(0));
  }

  void depths_of(const Scratch& s, std::vector<double>& depth) const {
    std::fill(depth.begin(), depth.end(), -std::numeric_limits<double>::infinity());
    for (std::size_t i = 0; i < model_.contacts.size(); ++i)
      depth[group(i)] = std::max(depth[group(i)], s.contact_points[i].depth);
  }

  double closing_speed(std::size_t g) const {
    double fastest = 0;
    for (std::size_t i = 0; i < model_.contacts.size(); ++i)
      if (group(i) == g && rhs_.contact_points[i].depth > 0) fastest = std::max(fastest, rhs_.depth_rate[i]);
    return fastest;
  }

  // STRINGS LEFT ALONE. A string that nothing is near needs no steps: its modes die away by themselves,
  // exactly (modal_string.h). Its part of the state then stands still in x_, x_new_ and x_look_ alike, as it
  // was at alone_since_, and is brought up to date now and then and before anybody comes near: the motion is
  // the same, a free string costs nothing.
  void leave_strings_alone() {
    if (model_.strings.empty() || rhs_.strings_alone) return;
    alone_reach_ = model_.reach_of_strings(x_.data());
    if (!strings_are_far(kFarFromString)) return;
    rhs_.strings_alone = look_.strings_alone = true;
    stepper_.stepper().set_moving(audit_end());
    alone_since_ = t_;
    const auto losses = model_.end_of_audit() - static_cast<std::ptrdiff_t>(model_.strings.size());
    for (StrokeState* v : {&dxdt_, &dxdt_new_})
      std::fill(v->begin() + losses, v->end(), 0.0);  // theirs are the last of the audit
    copy_strings();
  }
  void copy_strings() {
    for (StrokeState* v : {&x_new_, &x_look_})
      std::copy(x_.begin() + model_.end_of_audit(), x_.end(), v->begin() + model_.end_of_audit());
  }
  void swing_on() {
    model_.swing_on(x_.data(), t_ - alone_since_, rhs_);
    alone_since_ = t_;
    copy_strings();
  }
  // Strings take part in the steps again.
  void look_after_strings() {
    string_met_ = false;
    if (!rhs_.strings_alone) return;
    swing_on();
    rhs_.strings_alone = look_.strings_alone = false;
    stepper_.stepper().set_moving(x_.size());
    (*this)(x_, dxdt_, t_);
    depths_of(rhs_, depth_);
  }
  // Depths may count the displacement of the moment, which is within the reach.
  bool strings_are_far(double margin) const {
    for (const planar::StringBehind& b : model_.strings)
      if (rhs_.contact_points[static_cast<std::size_t>(b.contact)].depth + 2 * alone_reach_ > -margin)
        return false;
    return true;
  }
  void mind_strings() {
    if (!rhs_.strings_alone) {
      leave_strings_alone();
    } else if (!strings_are_far(kNearString)) {
      look_after_strings();
    } else if (t_ - alone_since_ > kSwingsOnFor) {
      swing_on();
    }
  }

  // Rates afresh at t_, x_; the step that follows knows nothing of the one before.
  void restart() {
    drive_until_ = std::numeric_limits<double>::infinity();
    (*this)(x_, dxdt_, t_);
    put_memories_in_range(rhs_, x_, dxdt_);
    depths_of(rhs_, depth_);
    ruler_.note_start(rhs_);
    for (Watched& w : watched_) w.value = w.event.value(t_, x_.data(), rhs_);
    step_ = std::min(step_, kAfterRestart);
    error_before_ = 1e-4;
    ++statistics_.restarts;
  }

  // State and, when wanted, forces at a time inside the step just done.
  void look_at(double t) {
    stepper_.stepper().calc_state(t, x_look_, x_, dxdt_, t_, x_new_, dxdt_new_, t_new_);
    put_prescribed(t, x_look_);
  }
  void look_at_forces(double t) {
    ++statistics_.look_calls;
    look_at(t);
    model_.calc_rates(x_look_.data(), dx_look_.data(), drive_.at(std::min(t, drive_until_)), look_);
  }
  double look_at_depth(double t, std::size_t g) {
    ++statistics_.look_calls;
    look_at(t);
    model_.calc_contact_points(x_look_.data(), look_);
    double depth = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < model_.contacts.size(); ++i)
      if (group(i) == g) depth = std::max(depth, look_.contact_points[i].depth);
    return depth;
  }
  double crossing_of_depth(std::size_t g) {
    return locate([&](double t) { return look_at_depth(t, g); }, t_, t_new_, depth_[g], depth_new_[g]);
  }

  [[noreturn]] void stop(const std::string& culprit, const std::string& why) const {
    throw base::Unstable(culprit, t_, last_event_ ? *last_event_ : "", why);
  }
  [[noreturn]] void stop_tiny_step() const {
    stop(name_component(model_, ruler_.worst()), ruler_.not_a_number()
                                                     ? "a number ran out of range and no shorter step helps"
                                                     : "the step has shrunk to nothing");
  }

  // One accepted step, or one located closing. False when an event ended the run.
  bool step(double t_end) {
    while (next_break_ < breakpoints_.size() && breakpoints_[next_break_] <= t_) ++next_break_;
    const bool broken = next_break_ < breakpoints_.size() && breakpoints_[next_break_] <= t_end;
    const double limit = broken ? breakpoints_[next_break_] : t_end;
    drive_until_ = broken ? std::nextafter(limit, -1.0) : std::numeric_limits<double>::infinity();

    double h = std::min(step_, options_.longest_step);
    bool located = false;  // h leads to a located closing
    int closing = -1;
    bool was_rejected = false;
    for (;;) {
      const bool to_limit = !located && t_ + h >= limit - 1e-3 * h;
      if (to_limit) {
        h = limit - t_;
        located = false;
      }
      std::fill(touched_.begin(), touched_.end(), false);
      double t_try = t_, h_try = h;
      const bool success = stepper_.try_step(std::ref(*this), x_, dxdt_, t_try, x_new_, dxdt_new_, h_try) ==
                           boost::numeric::odeint::success;
      if (!success) {
        ++statistics_.rejected;
        was_rejected = true;
        located = false;
        h = h_try;
        if (h < options_.least_step) stop_tiny_step();
        continue;
      }
      if (string_met_) {  // from further off than was thought: once more, with the string
        look_after_strings();
        located = false;
        continue;
      }
      t_new_ = to_limit ? limit : t_try;
      depths_of(rhs_, depth_new_);
      if (!located && grazes() && h > kTinyBounce) {
        ++statistics_.rejected;
        h *= 0.5;
        continue;
      }
      if (!located) {
        closing = -1;
        const double t_closing = first_closing(closing);
        if (closing >= 0) {
          if (t_closing - t_ <= 1e-12) return close_here(closing);
          if (t_closing < t_new_) {  // do it again, to end there
            h = t_closing - t_;
            located = true;
            continue;
          }
        }
      }
      const double next = next_step(h, was_rejected);
      step_ = to_limit ? std::max(step_, next) : next;
      return accept(h, broken && to_limit, closing);
    }
  }

  // Proportional-integral control ([@hairer1993], sec. II.4 and code
  // DOPRI5): calm where stability rather than accuracy limits the step.
  double next_step(double h, bool was_rejected) {
    constexpr double kIntegral = 0.04, kSafety = 0.9, kMostGrowth = 5.0, kMostShrinkage = 0.2;
    const double error = std::max(ruler_.largest(), 1e-8);
    const double factor =
        kSafety * std::pow(error, -(0.25 - 0.75 * kIntegral)) * std::pow(error_before_, kIntegral);
    error_before_ = std::max(error, 1e-4);
    const double next = h * std::clamp(factor, kMostShrinkage, kMostGrowth);
    return was_rejected ? std::min(next, h) : next;
  }

  // A group open at both ends of the step that bore at one of its stages.
  bool grazes() const {
    for (std::size_t g = 0; g < depth_.size(); ++g)
      if (touched_[g] && !bears_[g] && depth_[g] <= 0 && depth_new_[g] <= 0) return true;
    return false;
  }

  // First time in the step at which a group closes hard enough to stop for; t_new_ when none does.
  double first_closing(int& closing) {
    double first = t_new_;
    for (std::size_t g = 0; g < depth_.size(); ++g) {
      if (bears_[g] || !(depth_[g] <= 0 && depth_new_[g] > 0)) continue;
      if (closing_speed(g) < kSlowClosing || t_new_ - closed_at_[g] < kTinyBounce) continue;
      const double t = crossing_of_depth(g);
      if (closing < 0 || t < first) {
        closing = static_cast<int>(g);
        first = t;
      }
    }
    return first;
  }

  void note_closing(int g) {
    closed_at_[static_cast<std::size_t>(g)] = t_;
    bears_[static_cast<std::size_t>(g)] = true;
  }

  // Memories back into the range the laws keep them in. Bristles of a surface that bears nothing are
  // straight: they carry neither force nor energy, and the law's limit as the normal force rises from zero is
  // u = 0 whatever it was.
  void put_memories_in_range(const Scratch& s, StrokeState& x, StrokeState& rates) const {
    for (std::size_t i = 0; i < model_.contacts.size(); ++i) {
      const planar::Contact& c = *model_.contacts[i];
      const double depth = s.contact_points[i].depth;
      double& d0 = x[static_cast<std::size_t>(model_.at_d0(static_cast<int>(i)))];
      d0 = c.cloth.hysteresis() > 0 ? c.cloth.step_memory(depth, d0) : 0.0;
      if (depth <= 0) rates[static_cast<std::size_t>(model_.at_d0(static_cast<int>(i)))] = 0;
      const int k = model_.at_u(static_cast<int>(i));
      if (k < 0) continue;
      double& u = x[static_cast<std::size_t>(k)];
      u = depth > 0 ? std::clamp(u, -1.0, 1.0) : 0.0;
      if (depth <= 0) rates[static_cast<std::size_t>(k)] = 0;
    }
    for (std::size_t i = 0; i < model_.pivots.size(); ++i) {
      double& u = x[static_cast<std::size_t>(model_.at_pivot_u(static_cast<int>(i)))];
      u = std::clamp(u, -1.0, 1.0);
    }
  }

  // The group closes at t_ itself.
  bool close_here(int g) {
    note_closing(g);
    restart();
    emit({t_, EventKind::kCloses, g}, x_.data(), rhs_);
    return true;
  }

  bool accept(double h, bool at_break, int closing) {
    if (!Eigen::Map<const Eigen::ArrayXd>(x_new_.data(), static_cast<Eigen::Index>(x_new_.size()))
             .allFinite())
      stop(name_component(model_, first_bad()), "a number ran out of range");
    ++statistics_.steps;
    statistics_.smallest_step = std::min(statistics_.smallest_step, h);
    put_prescribed(t_new_, x_new_);
    if (!model_.strings.empty() && !rhs_.strings_alone) model_.settle_strings(x_new_.data(), rhs_);
    put_memories_in_range(rhs_, x_new_, dxdt_new_);
    for (int i = 0; i < model_.n(); ++i)
      if (model_.tree.body(i).joint == planar::Joint::kRevolute &&
          std::abs(x_new_[static_cast<std::size_t>(model_.at_q(i))]) > options_.coordinate_limit)
        stop(model_.tree.name(i), "it has left every contact that could hold it");

    located_.clear();
    for (std::size_t g = 0; g < depth_.size(); ++g) {
      if (static_cast<int>(g) == closing) continue;
      const bool now = depth_new_[g] > 0;
      if (now == bears_[g]) continue;
      const bool crossed = (depth_[g] > 0) != now;
      located_.push_back({crossed ? crossing_of_depth(g) : t_new_,
                          now ? EventKind::kCloses : EventKind::kOpens, static_cast<int>(g)});
      bears_[g] = now;
      if (now) closed_at_[g] = t_new_;
    }
    double t_stop = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < watched_.size(); ++k) find_crossing(k, t_stop);
    std::sort(located_.begin(), located_.end(), [](const Located& a, const Located& b) {
      return a.t != b.t ? a.t < b.t : a.kind != b.kind ? a.kind < b.kind : a.index < b.index;
    });
    for (const Located& e : located_) {
      if (e.t > t_stop) break;
      write_samples(e.t);
      look_at_forces(e.t);
      emit(e, x_look_.data(), look_);
    }
    if (t_stop < std::numeric_limits<double>::infinity()) {
      end_at(t_stop);
      return false;
    }
    write_samples(t_new_);
    if (recorder_) recorder_->on_step(t_new_, x_new_.data(), rhs_);
    for (std::size_t i = audit_index() + 1; i < audit_end(); ++i)
      audit_.least_loss_rate = std::min(audit_.least_loss_rate, dxdt_new_[i]);
    audit_.most_work = std::max(audit_.most_work, x_new_[audit_index()]);
    audit_.most_kinetic = std::max(audit_.most_kinetic, model_.tree.kinetic_energy(rhs_.poses));
    t_ = t_new_;
    x_.swap(x_new_);
    dxdt_.swap(dxdt_new_);
    depth_.swap(depth_new_);
    ruler_.note_start(rhs_);
    if (!model_.strings.empty()) mind_strings();
    if (closing >= 0) return close_here(closing);
    if (at_break) restart();
    return true;
  }

  // Ends the run inside the step just done.
  void end_at(double t) {
    look_at(t);
    x_ = x_look_;
    t_ = t;
    audit_.most_work = std::max(audit_.most_work, x_[audit_index()]);
    restart();
  }

  int first_bad() const {
    const auto it = std::find_if(x_new_.begin(), x_new_.end(), [](double v) { return !std::isfinite(v); });
    return static_cast<int>(it - x_new_.begin());
  }

  void find_crossing(std::size_t k, double& t_stop) {
    Watched& w = watched_[k];
    const double before = w.value, after = w.event.value(t_new_, x_new_.data(), rhs_);
    w.value = after;
    const bool was_up = before >= 0, is_up = after >= 0;
    if (w.done || was_up == is_up) return;
    if (w.event.crossing == Crossing::kRising && was_up) return;
    if (w.event.crossing == Crossing::kFalling && !was_up) return;
    const auto value = [&](double t) {
      look_at_forces(t);
      return w.event.value(t, x_look_.data(), look_);
    };
    const double t = locate(value, t_, t_new_, before, after);
    located_.push_back({t, EventKind::kCaller, static_cast<int>(k)});
    if (w.event.once) w.done = true;
    if (w.event.ends_run) t_stop = std::min(t_stop, t);
  }

  void emit(const Located& e, const double* x, const Scratch& s) {
    const std::size_t k = static_cast<std::size_t>(e.index);
    const std::string& name = e.kind == EventKind::kCaller ? watched_[k].event.name : model_.groups()[k];
    last_event_ = &name;
    ++statistics_.events;
    if (recorder_) recorder_->on_event({e.kind, e.index, &name, e.t}, x, s);
  }

  // Samples due up to t, from the step between t_ and t_new_ (or the start itself).
  void write_samples(double t) {
    if (!recorder_ || options_.output_interval <= 0) return;
    for (;; ++next_sample_) {
      const double due = t_start_ + options_.output_interval * static_cast<double>(next_sample_);
      if (due > t) return;
      if (due == t_) {
        recorder_->on_sample(due, x_.data(), rhs_);
      } else {
        look_at_forces(due);
        recorder_->on_sample(due, x_look_.data(), look_);
      }
    }
  }

  const Drive drive_;  // a copy: what a caller hands over may be a temporary
  StrokeOptions options_;
  ErrorNorm ruler_;
  ControlledStep stepper_;
  Scratch rhs_, look_;
  std::vector<double> breakpoints_;
  std::size_t next_break_ = 0;
  StrokeState dxdt_, x_new_, dxdt_new_, x_look_, dx_look_;
  std::vector<double> depth_, depth_new_, closed_at_;
  std::vector<char> bears_, touched_;
  std::vector<Watched> watched_;
  std::vector<Located> located_;
  Recorder* recorder_ = nullptr;
  double t_start_ = 0, t_new_ = 0, step_ = kAfterRestart, stored_start_ = 0, error_before_ = 1e-4;
  double drive_until_ = std::numeric_limits<double>::infinity();
  // Strings are left alone from kFarFromString beyond their reach on, looked after from kNearString on [m].
  static constexpr double kFarFromString = 6e-3, kNearString = 5e-3;
  static constexpr double kSwingsOnFor = 2e-3;  // [s] at most, for those who look at the string's energy
  double alone_since_ = 0, alone_reach_ = 0;    // [s], [m]
  bool string_met_ = false;
  long next_sample_ = 0;
  EnergyAudit audit_;
};

Stroke::Stroke(const Mechanism& model, const Drive& drive, const StrokeOptions& options,
               const ErrorScales& scales)
    : engine_(std::make_unique<Engine>(model, drive, options, scales)) {}
Stroke::~Stroke() = default;

void Stroke::watch(EventFunction event) { engine_->watch(std::move(event)); }
void Stroke::start(double t, const std::vector<double>& x, Recorder* recorder) {
  engine_->start(t, x, recorder);
}
bool Stroke::advance(double t_end) { return engine_->advance(t_end); }
double Stroke::t() const { return engine_->t_; }
const std::vector<double>& Stroke::state() const { return engine_->x_; }
const Scratch& Stroke::scratch() const { return engine_->scratch(); }
const StrokeStatistics& Stroke::statistics() const { return engine_->statistics_; }
EnergyAudit Stroke::audit() const { return engine_->audit(); }
std::string Stroke::last_event() const { return engine_->last_event_ ? *engine_->last_event_ : ""; }

}  // namespace leverwright::run

#include "models/action/fault_report.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "models/action/regulate_dynamic.h"

namespace leverwright::action {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kDeepest = 15e-3;        // [m] of dip looked at
constexpr double kLeastLetOff = 0.5e-3;   // [m]; below it felt and string keep the hammer
constexpr double kEarly = 1.5e-3;         // [m] that let-off may lie beyond its specification
constexpr double kJackOff = 0.8e-3;       // [m] that the jack may stand off its line
constexpr double kClearanceOff = 0.1e-3;  // [m] that jack and knuckle may be too near
constexpr double kDropOff = 0.7e-3;       // [m] that the drop may be too small
constexpr double kMostAftertouch = 2e-3;  // [m]; usual 0.8 to 1.5
constexpr double kBlowOff = 2e-3;         // [m]
constexpr double kRubs = 0.3;             // [N] of the check on a rising tail that counts
constexpr double kTouches = 0.05;         // [N] of the check on a falling one
constexpr double kCaughtTooHigh = 6e-3;   // [m]

double mm(double x) { return 1e3 * x; }
double ms(double x) { return 1e3 * x; }

std::string number(double metres, const char* otherwise) {
  return std::isfinite(metres) ? fmt::format("{:.1f} mm", mm(metres)) : otherwise;
}

// One cause: what to look at and why.
struct Cause {
  Screw screw = kScrewCount;
  std::string part, why, advice;
  bool expected = false;
};

Cause screw(Screw s, std::string why, std::string advice) {
  return {s, kScrewNames[s], std::move(why), std::move(advice), false};
}
Cause part(std::string name, std::string why, std::string advice) {
  return {kScrewCount, std::move(name), std::move(why), std::move(advice), false};
}

class Examiner {
 public:
  Examiner(const Action& plain, const StrokeResult& r)
      : plain_(plain), d_(plain.design), r_(r), f_(r.facts), now_(read_regulation(plain)) {}

  FaultReport report(Fault fault) {
    const Cause c = find_cause(fault);
    return {fault, c.expected, c.screw, c.part, what(fault), c.why, c.advice};
  }

 private:
  bool soft() const { return r_.measures.hammer_speed < kNeedsNoCheck; }
  bool held_down() const { return r_.happened(kKeyBottom); }

  std::string what(Fault fault) const {
    const auto& m = r_.measures;
    switch (fault) {
      case Fault::kNoLetOff:
        return fmt::format("The jack never came clear of the knuckle; the key went down {:.1f} mm.",
                           mm(f_.dip_at_release));
      case Fault::kNoString:
        return fmt::format("The hammer came no nearer to the string than {:.1f} mm.", mm(f_.least_gap));
      case Fault::kDoubleHit:
        return fmt::format(
            "The hammer struck {} times with one stroke: again {:.0f} ms after the first blow of {:.2f} m/s, "
            "with the key {:.1f} mm down.",
            f_.string_contacts, ms(f_.second_contact - r_.event[kStringContact]), m.hammer_speed,
            mm(f_.dip_at_second));
      case Fault::kFailedCheck:
        return fmt::format(
            "The check did not hold the hammer: it fell {:.1f} mm below the string and stood {:.1f} mm below "
            "it when the key was let go; the check bore on the tail with {:.1f} N at most.",
            mm(f_.farthest_after), mm(f_.gap_at_release), f_.check_force);
      case Fault::kBobbling:
        return fmt::format(
            "The hammer bounced: after the blow of {:.2f} m/s it fell to {:.1f} mm below the string and came "
            "up again to {:.1f} mm while the key was down.",
            m.hammer_speed, mm(f_.farthest_after), std::max(0.0, mm(f_.nearest_after_turn)));
      case Fault::kBlockedHammer:
        return fmt::format("The hammer was held against the string with the key {:.1f} mm down.",
                           mm(f_.dip_at_release));
      case Fault::kCheatingJack:
        return std::isfinite(f_.dip_at_jack_clear)
                   ? fmt::format(
                         "The jack slipped out from under the knuckle at {:.1f} mm of dip, with the hammer "
                         "still {:.0f} mm from the string and the tender not on its button.",
                         mm(f_.dip_at_jack_clear), mm(f_.gap_at_jack_clear))
                   : "The jack was out from under the knuckle from the start.";
      case Fault::kNoReset:
        return fmt::format("{:.0f} ms after the release the jack was not back under the knuckle.",
                           ms((r_.series.time.empty() ? kNone : r_.series.time.back()) - f_.released_at));
      case Fault::kNoBottom:
        return fmt::format("The key stopped {:.1f} mm down and was let go there; its bottom is at {:.1f} mm.",
                           mm(f_.dip_at_release), now_ ? mm(now_->dip_bottom) : kNone);
    }
    return "";
  }

  Cause find_cause(Fault fault) {
    if (!now_)
      return part("the action's rest", "The action as its screws stand has no rest position.",
                  "Regulate it first.");
    switch (fault) {
      case Fault::kCheatingJack:
        return cheating();
      case Fault::kNoReset:
        return no_reset();
      case Fault::kNoString:
        if (r_.has(Fault::kCheatingJack)) return cheating();
        if (const auto c = rubbing()) return *c;
        if (now_->let_off > d_.let_off + kEarly) return early_let_off();
        if (const auto c = no_way_out()) return *c;
        return weak_touch();
      case Fault::kNoLetOff:
      case Fault::kBlockedHammer:
      case Fault::kNoBottom:
        if (r_.has(Fault::kCheatingJack)) return cheating();
        if (const auto c = rubbing()) return *c;
        if (const auto c = no_way_out()) return *c;
        if (const auto c = deep_key()) return *c;
        if (const auto c = strong_spring()) return *c;
        return weak_touch();
      case Fault::kDoubleHit:
      case Fault::kFailedCheck:
      case Fault::kBobbling:
        return after_the_blow(fault);
    }
    return {};
  }

  // Let-off that cannot happen: on the button, or because the key's way ends before.
  std::optional<Cause> no_way_out() const {
    if (!(now_->let_off > kLeastLetOff)) {
      std::string where = "on the key's way no let-off comes at all";
      if (now_->let_off > 0)
        where = fmt::format("let-off would come {:.1f} mm from the string (wanted {:.1f})", mm(now_->let_off),
                            mm(d_.let_off));
      else if (std::isfinite(now_->let_off))
        where = "let-off would come with the felt pressed into the string already";
      return screw(
          kLetOffButton,
          fmt::format("The let-off button stands too high: the tender meets it at {} of dip, and {}. The "
                      "jack cannot get out.",
                      number(now_->dip_button, "no depth"), where),
          "Turn the let-off button down until the hammer lets off at its distance.");
    }
    if (now_->dip_let_off > now_->dip_bottom) {
      const bool hammer_low = now_->blow > d_.blow + kBlowOff && d_.blow > 0;
      const std::string why = fmt::format(
          "The key meets its front punching at {:.1f} mm, before let-off, which would come at {:.1f} "
          "mm{}.",
          mm(now_->dip_bottom), mm(now_->dip_let_off),
          hammer_low ? fmt::format(", because the hammer line is low: blow {:.1f} mm, wanted {:.1f}",
                                   mm(now_->blow), mm(d_.blow))
                     : "");
      if (hammer_low) return screw(kCapstan, why, "Turn the capstan up, then see dip and aftertouch again.");
      return screw(kFrontPunching, why,
                   "Take paper out from under the front punching until there is aftertouch.");
    }
    return std::nullopt;
  }

  std::optional<Cause> rubbing() const {
    if (f_.check_force_before < kRubs) return std::nullopt;
    return screw(
        kBackCheck,
        fmt::format("The check stands too near: the tail rubbed on it on the way up, with up to {:.1f} N.",
                    f_.check_force_before),
        "Bend the back check away from the tail.");
  }

  std::optional<Cause> deep_key() const {
    const double aftertouch = now_->dip_bottom - now_->dip_let_off;
    if (aftertouch < kMostAftertouch) return std::nullopt;
    return screw(
        kFrontPunching,
        fmt::format("The key goes on {:.1f} mm after let-off before it meets its punching (usual 0.8 to "
                    "1.5): the check comes up at the hammer while it is still near the string.",
                    mm(aftertouch)),
        "Put paper under the front punching until dip and aftertouch are as specified.");
  }

  std::optional<Cause> strong_spring() {
    const double rise = rise_speed();
    if (!(rise > d_.spring_rise_high)) return std::nullopt;
    return screw(kRepetitionSpring,
                 fmt::format("The repetition spring is too strong: out of the check it lifts the hammer with "
                             "{:.0f} mm/s (wanted {:.0f} to {:.0f}).",
                             1e3 * rise, 1e3 * d_.spring_rise_low, 1e3 * d_.spring_rise_high),
                 "Weaken the repetition spring until the hammer rises gently out of the check.");
  }

  Cause early_let_off() const {
    return screw(
        kLetOffButton,
        fmt::format("The let-off button stands too low: the jack is out when the hammer is still {:.1f} mm "
                    "from the string (wanted {:.1f}).",
                    mm(now_->let_off), mm(d_.let_off)),
        "Turn the let-off button up.");
  }

  Cause cheating() const {
    if (now_->jack_offset > kJackOff)
      return screw(
          kJackStop,
          fmt::format("At rest the jack stands {:.1f} mm too far towards the player, out from under the "
                      "knuckle's core.",
                      mm(now_->jack_offset)),
          "Turn the jack's position button until its string-side face is in line with the core.");
    return part(
        "jack spring and knuckle",
        fmt::format("The jack stands within {:.1f} mm of its line: it is not held there. A weak jack "
                    "spring, a jack centre that binds, or a knuckle that is flat, hard or slick would do "
                    "this.",
                    std::abs(mm(now_->jack_offset))),
        "Look at the jack's spring and centre, then at the knuckle's leather.");
  }

  Cause no_reset() const {
    if (const auto c = rubbing()) return *c;
    if (!r_.happened(kKeyBack))
      return part(
          "key return", "The key had not come back to rest either when the record ended.",
          r_.series.time.empty() || r_.series.time.back() < f_.released_at + kTimeToReturn
              ? "Follow the stroke for longer."
              : "Ease bushings and centres; weigh off: the up weight is too small to bring the key back.");
    if (now_->jack_offset > kJackOff || now_->jack_offset < -4 * kJackOff) return cheating();
    if (now_->jack_clearance < d_.jack_clearance - kClearanceOff)
      return screw(
          kLeverStop,
          fmt::format("The repetition lever stands too low: jack and knuckle are pressed together by {:.2f} "
                      "mm at rest where {:.2f} mm of air is wanted, so the jack is stopped by the "
                      "knuckle.",
                      -mm(now_->jack_clearance), mm(d_.jack_clearance)),
          "Raise the lever by its height screw until the hammer just winks as the jack is moved.");
    return part("jack spring and centre",
                "There is room for the jack under the knuckle, but it does not come.",
                "Look at the jack's spring and centre, and at what its top rubs on.");
  }

  Cause weak_touch() const {
    Cause c =
        part("touch",
             fmt::format("The finger went no farther than {:.1f} mm with at most {:.1f} N; let-off comes at "
                         "{} and takes about a newton more than the key's weight.",
                         mm(f_.dip_at_release), r_.measures.peak_force,
                         number(now_->dip_let_off, "no dip within reach")),
             "Nothing to turn: press on through the let-off.");
    c.expected = true;
    return c;
  }

  Cause after_the_blow(Fault fault) {
    if (const auto c = no_way_out()) return *c;
    if (const auto c = deep_key()) return *c;
    if (f_.check_force > kTouches && f_.farthest_after < kCaughtTooHigh && !soft())
      return screw(
          kBackCheck,
          fmt::format("The check stands too near: it met the tail only {:.1f} mm below the string, where "
                      "the hammer still comes back fast.",
                      mm(f_.farthest_after)),
          "Bend the back check away from the tail until it holds at its distance.");
    if (const auto c = strong_spring()) return *c;
    if (fault == Fault::kDoubleHit && !(now_->drop > d_.drop - kDropOff))
      return screw(
          kDropScrew,
          fmt::format("The drop screw stands too high: the hammer drops {} after let-off (wanted {:.1f} "
                      "mm), so the repetition lever still carries it near the string.",
                      number(now_->drop, "not at all"), mm(d_.drop)),
          "Turn the drop screw down.");
    if (fault == Fault::kDoubleHit && d_.blow > 0 && now_->blow < d_.blow - kBlowOff)
      return screw(
          kCapstan,
          fmt::format("The hammer line is high: blow {:.1f} mm, wanted {:.1f}.", mm(now_->blow), mm(d_.blow)),
          "Turn the capstan down, then see let-off and drop again.");
    if (soft()) {
      Cause c =
          part("touch",
               fmt::format("At {:.2f} m/s the hammer's rebound does not bring its tail down to the check; it "
                           "lies on the repetition lever. Below about {:.1f} m/s that is as it should be.",
                           r_.measures.hammer_speed, kNeedsNoCheck),
               "Nothing to turn; judge the check by a stronger blow.");
      c.expected = true;
      return c;
    }
    if (!held_down())
      return part("touch", "The key had not come to its bottom, so the check was not up to meet the tail.",
                  "Hold the key down through the blow.");
    if (f_.check_force <= kTouches)
      return screw(
          kBackCheck,
          fmt::format("The check stands too far from the tail: the hammer fell {:.1f} mm below the string "
                      "without touching it (wanted: held at {:.1f} mm).",
                      mm(f_.farthest_after), mm(d_.checking)),
          "Bend the back check towards the tail until it holds at its distance.");
    return screw(
        kBackCheck,
        fmt::format("The tail slid through the check, which bore on it with up to {:.1f} N.", f_.check_force),
        "Bend the check a little nearer; if it still slips, roughen the tail or renew the check's leather.");
  }

  // Out of the check after the blow the check is set by; NaN where that blow is not caught.
  double rise_speed() {
    if (rise_known_) return rise_;
    rise_known_ = true;
    const Rest rest = find_rest(plain_);
    if (rest.state.empty()) return rise_;
    PressedTouch blow = find_pressed_touch(plain_, rest, d_.check_blow).touch;
    const CheckedBlow caught = play_checked_blow(plain_, rest, blow);
    if (caught.caught) rise_ = play_rise(plain_, rest, caught).speed;
    return rise_;
  }

  static constexpr double kTimeToReturn = 0.15;  // [s] in which a free key is back

  const Action& plain_;
  const ActionDesign& d_;
  const StrokeResult& r_;
  const StrokeFacts& f_;
  std::optional<RegulationReading> now_;
  bool rise_known_ = false;
  double rise_ = kNone;
};

}  // namespace

std::optional<RegulationReading> read_regulation(const Action& plain) {
  FrictionlessPath path(plain);
  if (!path.rest_found()) return std::nullopt;
  const ActionDesign& d = plain.design;
  const auto& q = path.rest().q;
  RegulationReading out{
      plain.string_gap(q), plain.jack_offset(q), plain.jack_clearance(q), 0, kNone, kNone, kNone, kNone};
  // Key and punching meet where the gap at rest, carried from the punching's arm to the playing point's, is
  // used up.
  out.dip_bottom =
      -path.depth_of(kKeyFrontPunching, path.rest()) * d.playing_point.x() / d.front_punching.x();
  const TripReading as_is = Trip(d, plain.screws, path.rest(), kDeepest)
                                .read(plain.screws[kLetOffButton], plain.screws[kDropScrew]);
  if (as_is.tender_met) out.dip_button = as_is.dip_button;
  if (as_is.drop_found) out.drop = as_is.drop;
  // Where the drop screw stands too high for the lever to let go of the hammer: what the button alone does.
  constexpr double kScrewedDown = 4e-3;  // [m]
  const TripReading let_off =
      as_is.found ? as_is
                  : Trip(d, plain.screws, path.rest(), kDeepest)
                        .read(plain.screws[kLetOffButton], plain.screws[kDropScrew] - kScrewedDown);
  if (let_off.found) {
    out.let_off = let_off.let_off;
    out.dip_let_off = let_off.dip_let_off;
  }
  return out;
}

std::vector<FaultReport> explain_faults(const Action& plain, const StrokeResult& stroke) {
  std::vector<FaultReport> out;
  if (stroke.faults.empty()) return out;
  Examiner examiner(plain, stroke);
  for (const Fault fault : stroke.faults) out.push_back(examiner.report(fault));
  return out;
}

std::vector<std::string> write_faults(const std::vector<FaultReport>& reports) {
  std::vector<std::string> out;
  std::vector<bool> told(reports.size(), false);
  for (std::size_t i = 0; i < reports.size(); ++i) {
    if (told[i]) continue;
    const FaultReport& r = reports[i];
    std::string names, whats;
    for (std::size_t k = i; k < reports.size(); ++k) {
      if (reports[k].why != r.why) continue;
      told[k] = true;
      names += (names.empty() ? "" : ", ") + std::string(name_of(reports[k].fault));
      whats += (whats.empty() ? "" : " ") + reports[k].what;
    }
    out.push_back(fmt::format("{}{}: {} Why: {} {}", names, r.expected ? " (to be expected)" : "", whats,
                              r.why,
                              r.expected ? r.advice : fmt::format("Look at the {}. {}", r.part, r.advice)));
  }
  return out;
}

}  // namespace leverwright::action

// Each fault made on purpose by the screw that causes it: the name, the screw to look at and the numbers told
// are those; a well regulated action has none, and at so soft a touch that the check need not hold nothing is
// blamed.
#include <gtest/gtest.h>

#include "models/action/fault_report.h"
#include "models/action/finger_touch.h"
#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

const FoundFingerTouch& finger_as_found(const std::string& name, bool struck) {
  static std::map<std::pair<std::string, bool>, FoundFingerTouch> found;
  const auto [it, is_new] = found.try_emplace({name, struck});
  if (is_new) {
    const Played& p = played_as_found();
    FingerTouch touch;
    touch.struck = struck;
    it->second = find_finger_touch(p.design, p.regulated.screws, p.regulated.rest.q,
                                   demo_case().value("touches." + name), touch);
  }
  return it->second;
}

struct Misregulated {
  StrokeResult stroke;
  std::vector<FaultReport> reports;

  const FaultReport* find(Fault fault) const {
    for (const FaultReport& r : reports)
      if (r.fault == fault) return &r;
    return nullptr;
  }
};

// The touch found on the regulated action, played on one whose screw has been turned.
Misregulated turn(Screw screw, double by, const std::string& touch, bool struck) {
  const Played& p = played_as_found();
  ScrewSettings screws = p.regulated.screws;
  screws[screw] += by;
  const Action plain = assemble(p.design, screws);
  const FrictionlessPath path(plain);
  EXPECT_TRUE(path.rest_found());
  const FingerTouch& finger = finger_as_found(touch, struck).touch;
  const FingeredAction f = put_finger(p.design, screws, path.rest().q, finger);
  Misregulated out;
  out.stroke = play(f.action, f.rest, finger_touch_drive(f, finger), finger_options(finger));
  EXPECT_EQ(out.stroke.stopped, "");
  out.reports = explain_faults(plain, out.stroke);
  EXPECT_EQ(out.reports.size(), out.stroke.faults.size());
  return out;
}

double spring_as_found() {
  const Played& p = played_as_found();
  return p.design.lever_spring.torque + p.regulated.screws[kRepetitionSpring];
}

struct Case {
  const char* name;
  Screw screw;
  double by;  // [m]; of the repetition spring: share of its torque
  const char* touch;
  bool struck;
  Fault fault;
  Screw blamed;
  const char* word;  // in the reason
};

class Turned : public ::testing::TestWithParam<Case> {};

TEST_P(Turned, FaultIsNamedAndTheScrewThatMadeItBlamed) {
  const Case& c = GetParam();
  const Misregulated m =
      turn(c.screw, c.screw == kRepetitionSpring ? c.by * spring_as_found() : c.by, c.touch, c.struck);
  ASSERT_TRUE(m.stroke.has(c.fault)) << name_of(c.fault);
  const FaultReport* r = m.find(c.fault);
  ASSERT_NE(r, nullptr);
  EXPECT_EQ(r->screw, c.blamed) << r->part << ": " << r->why;
  EXPECT_FALSE(r->expected);
  EXPECT_EQ(r->part, kScrewNames[at(c.blamed)]);
  EXPECT_NE(r->why.find(c.word), std::string::npos) << r->why;
  EXPECT_NE(r->what.find_first_of("0123456789"), std::string::npos) << "numbers of this stroke: " << r->what;
  EXPECT_GT(r->advice.size(), 15u);
}

INSTANTIATE_TEST_SUITE_P(
    Screws, Turned,
    ::testing::Values(
        Case{"button_high_blocks", kLetOffButton, 1.5e-3, "mf", true, Fault::kBlockedHammer, kLetOffButton,
             "too high"},
        Case{"button_high_no_let_off", kLetOffButton, 2e-3, "f", false, Fault::kNoLetOff, kLetOffButton,
             "too high"},
        Case{"button_high_no_bottom", kLetOffButton, 1e-3, "p", true, Fault::kNoBottom, kLetOffButton,
             "too high"},
        Case{"check_far_fails", kBackCheck, -4e-3, "mf", false, Fault::kFailedCheck, kBackCheck, "too far"},
        Case{"check_far_bobbles", kBackCheck, -5e-3, "mf", false, Fault::kBobbling, kBackCheck, "too far"},
        Case{"check_far_double", kBackCheck, -4e-3, "f", true, Fault::kDoubleHit, kBackCheck, "too far"},
        Case{"check_near_no_string", kBackCheck, 3e-3, "mf", true, Fault::kNoString, kBackCheck, "too near"},
        Case{"check_near_no_bottom", kBackCheck, 3e-3, "p", false, Fault::kNoBottom, kBackCheck, "too near"},
        Case{"jack_out_cheats", kJackStop, 0.85e-3, "mf", false, Fault::kCheatingJack, kJackStop,
             "towards the player"},
        Case{"jack_out_no_string", kJackStop, 2e-3, "p", true, Fault::kNoString, kJackStop,
             "towards the player"},
        Case{"spring_strong_bobbles", kRepetitionSpring, 1.2, "p", true, Fault::kBobbling, kRepetitionSpring,
             "too strong"},
        Case{"spring_strong_double", kRepetitionSpring, 1.0, "p", true, Fault::kDoubleHit, kRepetitionSpring,
             "too strong"},
        Case{"drop_high_double", kDropScrew, 1e-3, "pp", true, Fault::kDoubleHit, kDropScrew, "too high"},
        Case{"punching_high_no_let_off", kFrontPunching, 3.7e-3, "mf", true, Fault::kNoLetOff, kFrontPunching,
             "before let-off"},
        Case{"punching_low_no_bottom", kFrontPunching, -3e-3, "f", true, Fault::kNoBottom, kFrontPunching,
             "after let-off"},
        Case{"hammer_line_low", kCapstan, -1.5e-3, "p", true, Fault::kNoLetOff, kCapstan,
             "hammer line is low"},
        Case{"lever_low_no_reset", kLeverStop, 1.6e-3, "pp", true, Fault::kNoReset, kLeverStop, "too low"}),
    [](const auto& c) { return std::string(c.param.name); });

class WellRegulated : public ::testing::TestWithParam<std::tuple<const char*, bool>> {};

TEST_P(WellRegulated, HasNoFaultFromSoftToLoudAndNothingToBlame) {
  const auto& [touch, struck] = GetParam();
  const Misregulated m = turn(kBackCheck, 0, touch, struck);
  if (std::string(touch) != "pp") {
    EXPECT_TRUE(m.reports.empty()) << write_faults(m.reports).front();
    return;
  }
  // At 0.5 m/s the check may rightly not hold.
  EXPECT_LT(m.stroke.measures.hammer_speed, kNeedsNoCheck);
  for (const FaultReport& r : m.reports) {
    EXPECT_TRUE(r.fault == Fault::kFailedCheck || r.fault == Fault::kBobbling) << name_of(r.fault);
    EXPECT_TRUE(r.expected) << r.why;
    EXPECT_EQ(r.screw, kScrewCount);
    EXPECT_NE(r.why.find("as it should be"), std::string::npos);
  }
}

INSTANTIATE_TEST_SUITE_P(Touches, WellRegulated,
                         ::testing::Combine(::testing::Values("pp", "p", "mf", "f", "ff"), ::testing::Bool()),
                         [](const auto& c) {
                           return std::string(std::get<0>(c.param)) +
                                  (std::get<1>(c.param) ? "_struck" : "_pressed");
                         });

TEST(Explained, AForceTooWeakForLetOffIsTheTouch) {
  const Played& p = played_as_found();
  PressedTouch touch;
  touch.plateau = 0.3;
  const StrokeResult r = play_touch(p, touch);
  ASSERT_TRUE(r.has(Fault::kNoBottom));
  for (const FaultReport& f : explain_faults(p.action, r)) {
    EXPECT_EQ(f.part, "touch");
    EXPECT_TRUE(f.expected);
  }
}

TEST(Explained, OneCauseIsToldOnce) {
  const Misregulated m = turn(kLetOffButton, 1.5e-3, "mf", true);
  ASSERT_GE(m.reports.size(), 3u);
  const auto texts = write_faults(m.reports);
  ASSERT_EQ(texts.size(), 1u);
  EXPECT_NE(texts[0].find("no let-off, blocked hammer"), std::string::npos) << texts[0];
  EXPECT_NE(texts[0].find("Look at the let-off button"), std::string::npos);
}

// What a technician would measure on the regulated action is what it was regulated to.
TEST(Explained, ReadingOfTheScrewsIsTheRegulation) {
  const Played& p = played_as_found();
  const auto r = read_regulation(p.action);
  ASSERT_TRUE(r);
  EXPECT_NEAR(r->blow, p.regulated.blow, 1e-6);
  EXPECT_NEAR(r->let_off, p.regulated.let_off, 0.02e-3);
  EXPECT_NEAR(r->dip_let_off, p.regulated.dip_let_off, 0.05e-3);
  EXPECT_NEAR(r->drop, p.regulated.drop, 0.02e-3);
  EXPECT_NEAR(r->jack_offset, p.regulated.jack_offset, 1e-6);
  EXPECT_LT(r->dip_bottom, p.regulated.dip) << "met, not yet carrying 3 N";
  EXPECT_GT(r->dip_bottom, p.regulated.dip - 0.6e-3);
}

}  // namespace
}  // namespace leverwright::action

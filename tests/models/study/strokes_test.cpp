// Touches played on the demo's note: that they do what a stroke does, and that all of it is in the file.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/read_case.h"
#include "models/study/write_strokes.h"
#include "models/study/write_study.h"
#include "sim/base/units.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::study {
namespace {

const case_file::CaseDescription& demo() {
  static const auto d = [] {
    auto c = remedies::read_case("cases/missed_heel/case.toml");
    c.set_ups.resize(1);
    return c;
  }();
  return d;
}

const Comparison& played() {
  static const Comparison c = [] {
    CompareOptions options;
    options.uncertainty = false;
    options.touches = {"p", "mf", "f"};
    return compare(demo(), options);
  }();
  return c;
}

double number_of(const PlayedTouch& t, const std::string& name) {
  for (const auto& n : find_touch_numbers(t))
    if (n.name == name) return n.value;
  ADD_FAILURE() << "no measure " << name;
  return std::nan("");
}

TEST(Touches, LetOffStrikeCheckAndReset) {
  const auto& touches = played().set_ups[0].touches;
  ASSERT_EQ(touches.size(), 3u);
  for (const PlayedTouch& t : touches) {
    EXPECT_TRUE(t.found.found) << t.name;
    EXPECT_NEAR(t.stroke.measures.hammer_speed, t.wanted_speed, 1e-3 * t.wanted_speed) << t.name;
    for (const auto e : {action::kJackTrips, action::kStringContact, action::kKeyBottom, action::kJackReset})
      EXPECT_TRUE(t.stroke.happened(e)) << t.name << " " << action::kStrokeEventNames[e];
    EXPECT_TRUE(t.stroke.faults.empty()) << t.name << " " << action::name_of(t.stroke.faults.front());
    // Nothing is badly out; the audit is held to its own limit in tests/models/action_play.
    EXPECT_LT(std::abs(t.stroke.audit.error()), 1e-3) << t.name;
  }
}

TEST(Touches, LouderIsQuickerAndHarder) {
  const auto& t = played().set_ups[0].touches;
  for (std::size_t k = 1; k < t.size(); ++k) {
    for (const char* falls : {"key start to string", "key bottom after string", "hammer on string"})
      EXPECT_LT(number_of(t[k], falls), number_of(t[k - 1], falls)) << falls;
    for (const char* rises : {"steady finger force", "finger work to key bottom", "greatest key speed"})
      EXPECT_GT(number_of(t[k], rises), number_of(t[k - 1], rises)) << rises;
  }
}

// The finger's work is at least what the hammer carries away, and not more than force times way.
TEST(Touches, WorkLiesBetweenItsBounds) {
  const SetUpResult& s = played().set_ups[0];
  for (const PlayedTouch& t : s.touches) {
    const double work = number_of(t, "finger work to key bottom");
    const auto& hammer = s.design.masses[action::kHammer];
    const double inertia = hammer.inertia_cm + hammer.mass * hammer.p_cm.squaredNorm();
    const double omega = t.stroke.measures.hammer_speed / s.design.hammer_length;
    EXPECT_GT(work, 0.5 * inertia * omega * omega) << t.name;
    EXPECT_LT(work, t.stroke.measures.peak_force * 1.1 * s.regulated.dip) << t.name;
  }
}

TEST(Touches, HeldComesBeforeTheTailNoLongerSlides) {
  for (const PlayedTouch& t : played().set_ups[0].touches) {
    const double held = find_held_time(t);
    EXPECT_GT(held, 2e-3) << t.name;
    EXPECT_LT(held, t.stroke.measures.check_time) << t.name;
  }
}

class StoredStrokes : public testing::Test {
 protected:
  StoredStrokes() { write_study(demo(), played(), path_); }
  const support::ScratchFolder folder_;
  const std::string path_ = folder_.path("strokes.h5");
};

TEST_F(StoredStrokes, KeepTheStandard) {
  for (const auto& problem : store::check_study(path_)) ADD_FAILURE() << problem.file << " " << problem.what;
}

TEST_F(StoredStrokes, HoldWhatWasPlayed) {
  const store::StudyReader in(path_);
  for (const PlayedTouch& t : played().set_ups[0].touches) {
    const std::string at = "/set_ups/00/strokes/" + t.name + "/";
    const auto& s = t.stroke.series;
    EXPECT_EQ(in.read_series(at + "time").values, s.time);
    EXPECT_EQ(in.read_series(at + "hammer_distance").values, s.string_gap);
    EXPECT_EQ(in.read_series(at + "finger_force").values, s.finger_force);
    const auto angles = in.read_series(at + "coordinates");
    EXPECT_EQ(angles.meta.unit, "rad");
    EXPECT_EQ(angles.meta.frame, "W");
    ASSERT_EQ(angles.columns, 5u);
    const std::size_t middle = s.time.size() / 3;
    for (std::size_t b = 0; b < 5; ++b) {
      const std::size_t column = angles.find_column(action::kBodyNames[b]);  // in the order they are drawn
      ASSERT_LT(column, angles.columns) << action::kBodyNames[b];
      EXPECT_EQ(angles.at(middle, column), s.position[b][middle]);
    }
    const auto forces = in.read_series(at + "normal_force");
    const std::size_t heel = forces.find_column(action::kContactNames[action::kCapstanHeel]);
    ASSERT_LT(heel, forces.columns);
    EXPECT_GT(forces.at(middle, heel), 0.1) << "the key carries the wippen";
    // The pictures' places: the mechanism's own, and friction on the heel against its slide over the cap.
    const auto places = in.read_series(at + "contact_places");
    const std::string heel_name = action::kContactNames[action::kCapstanHeel];
    const std::size_t x = places.find_column(heel_name + ": x"),
                      way = places.find_column(heel_name + ": direction");
    ASSERT_LT(way, places.columns);
    EXPECT_EQ(places.find_column(std::string(action::kContactNames[action::kJackStopFelt]) + ": x"),
              places.columns)
        << "a stop about a centre acts at no place";
    EXPECT_NEAR(places.at(middle, x), 0.13, 0.01) << "m, over the key's rear";
    EXPECT_NEAR(places.at(middle, way), 0.5 * base::kPi, 0.3) << "the capstan pushes up";
    const auto centres = in.read_series(at + "centre_friction");
    ASSERT_EQ(centres.columns, static_cast<std::size_t>(action::kPivotCount));
    const std::size_t hammer_centre = centres.find_column("hammer centre");
    ASSERT_LT(hammer_centre, centres.columns);
    double rising = 0, least = 0;  // the fastest moment of the hammer on its way up
    for (std::size_t k = 0; s.time[k] < t.stroke.event[action::kStringContact]; ++k)
      if (s.speed[action::kHammer][k] > rising) {
        rising = s.speed[action::kHammer][k];
        least = centres.at(k, hammer_centre);
      }
    EXPECT_LT(least, -1e-4) << "N m: against the hammer's turning";
    const auto depth = in.read_series(at + "depth");
    const std::size_t string = depth.find_column(action::kContactNames[action::kHammerString]);
    ASSERT_LT(string, depth.columns);
    EXPECT_TRUE(std::isnan(depth.at(0, string))) << "open at rest";
    const auto events = in.read_table(at + "events");
    ASSERT_EQ(events.rows(), static_cast<std::size_t>(action::kStrokeEventCount));
    EXPECT_EQ(events.find("time")->numbers[action::kJackTrips], t.stroke.event[action::kJackTrips]);
    EXPECT_EQ(in.read_table(at + "faults").rows(), 0u);
    EXPECT_DOUBLE_EQ(in.read_number(at + "measures", "hammer speed").value, t.stroke.measures.hammer_speed);
    // The energies in the file leave the same misfit as the stroke's own audit.
    const auto energy = in.read_series(at + "energies");
    const auto column = [&](const char* name) { return energy.find_column(name); };
    const std::size_t end = energy.rows - 1;
    double stored = 0;
    for (const char* name :
         {"kinetic", "gravity", "springs", "cloth", "stuck friction", "stuck centres and bushings", "string"})
      stored += energy.at(end, column(name)) - energy.at(0, column(name));
    const double work = energy.at(end, column("work"));
    const double misfit = stored + energy.at(end, column("lost")) - work;
    EXPECT_NEAR(misfit / t.stroke.audit.reference(), t.stroke.audit.error(), 1e-5) << t.name;
  }
}

}  // namespace
}  // namespace leverwright::study

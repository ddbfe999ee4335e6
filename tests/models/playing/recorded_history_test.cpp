// A record of a finger or a key: read whole or refused with line and column, smoothed, and played.
#include "models/playing/recorded_history.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "models/playing/finger_touches.h"
#include "models/remedies/read_case.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::playing {
namespace {

std::string rows(int count, const std::string& separator = ",") {
  std::string out;
  for (int k = 0; k < count; ++k) out += std::to_string(k) + separator + std::to_string(k * 0.1) + "\n";
  return out;
}

std::vector<base::Problem> problems_of(const std::string& path, const std::string& use = "") {
  try {
    read_history(path, use);
  } catch (const base::UserError& e) {
    return e.problems();
  }
  ADD_FAILURE() << "was accepted";
  return {};
}

TEST(Record, ReadsUnitsCommentsAndOtherColumns) {
  const support::ScratchFolder f;
  const auto r =
      read_history(f.write("record.csv",
                           "# taken by hand\n\ntime (ms),note,force [gf]\n0,a,0\n1,b,100\n2,c,200\n3,d,300"
                           "\n4,e,300\n5,f,300\n6,g,300\n7,h,300\n"));
  EXPECT_TRUE(r.is_force);
  ASSERT_EQ(r.time.size(), 8u);
  EXPECT_NEAR(r.time[3], 3e-3, 1e-15);
  EXPECT_NEAR(r.value[3], 300 * 9.80665e-3, 1e-12);
  EXPECT_EQ(r.line[0], 4);
  ASSERT_EQ(r.notes.size(), 1u);
  EXPECT_NE(r.notes[0].find("note"), std::string::npos) << r.notes[0];
  const auto semicolons =
      read_history(f.write("record.csv",
                           "t s;dip mm\n0,000;0\n0,001;0,1\n0,002;0,2\n0,003;0,3\n0,004;0,4\n"
                           "0,005;0,5\n0,006;0,6\n0,007;0,7\n"));
  EXPECT_FALSE(semicolons.is_force);
  EXPECT_NEAR(semicolons.time[7], 7e-3, 1e-15);
  EXPECT_NEAR(semicolons.value[7], 0.7e-3, 1e-15);
}

TEST(Record, EveryFaultHasItsLineAndColumnAndAllComeAtOnce) {
  const support::ScratchFolder f;
  const auto several = problems_of(
      f.write("record.csv", "time (ms),force (N)\n0,0\n1,zero\n2\n1.5,1\n1,1\nnan,2\n7,1\n8,1\n"));
  ASSERT_EQ(several.size(), 4u);
  EXPECT_EQ(several[0].line, 3);
  EXPECT_EQ(several[0].line_text, "1,zero");
  EXPECT_NE(several[0].what.find("column 2 (force): \"zero\""), std::string::npos) << several[0].what;
  EXPECT_EQ(several[1].line, 4);
  EXPECT_NE(several[1].what.find("1 cells where there are 2"), std::string::npos);
  EXPECT_EQ(several[2].line, 7);
  EXPECT_NE(several[2].what.find("column 1 (time)"), std::string::npos);
  EXPECT_EQ(several[3].line, 6);
  EXPECT_NE(several[3].what.find("time runs back"), std::string::npos);

  const auto expect = [&](const std::string& text, const std::string& words, const std::string& use = "") {
    const auto p = problems_of(f.write("record.csv", text), use);
    ASSERT_FALSE(p.empty());
    EXPECT_NE((p[0].what + " " + p[0].advice).find(words), std::string::npos) << p[0].what << p[0].advice;
  };
  expect("time,force (N)\n" + rows(9), "has no unit");
  expect("time (ms),force (g)\n" + rows(9), "g is a mass");
  expect("time (mm),force (N)\n" + rows(9), "no unit of time");
  expect("clock (ms),force (N)\n" + rows(9), "no column of time");
  expect("time (ms),loudness (N)\n" + rows(9), "neither force nor dip");
  expect("time (ms),force (N),dip (mm)\n", "--use");
  expect("time (ms),force (N)\n" + rows(9), "no column of dip", "dip");
  expect("time (ms),force (N)\n" + rows(3), "too few");
  expect("time (ms),dip (mm)\n0,4\n" + rows(9), "from its rest");
  expect("", "empty");
  expect("time (ms),force (N)\n0,1,5\n" + rows(9), "cells where there are");
  EXPECT_FALSE(problems_of(f.path("none.csv")).empty());
  EXPECT_FALSE(problems_of(f.write("false.h5", "no HDF5")).empty());
  std::string many = "time (ms),force (N)\n";
  for (int k = 0; k < 50; ++k) many += "x,1\n";
  const auto p = problems_of(f.write("record.csv", many));
  ASSERT_EQ(p.size(), 20u);
  EXPECT_NE(p.back().what.find("31 more"), std::string::npos) << p.back().what;
}

const study::SetUpResult& as_found() {
  static const study::Comparison c = [] {
    auto d = remedies::read_case("cases/missed_heel/case.toml");
    d.set_ups.resize(1);
    study::CompareOptions options;
    options.uncertainty = false;
    options.touches = {"mf"};
    return study::compare(d, options);
  }();
  return c.set_ups[0];
}

// A record of a stroke of ours, with the noise of a sensor, gives the stroke again: from its force, and from
// the key's way alone.
TEST(Record, OfOurOwnStrokeGivesItAgain) {
  const support::ScratchFolder f;
  const auto& s = as_found().touches[0].stroke.series;
  std::mt19937_64 random(11);
  std::normal_distribution<double> force_noise(0, 0.02), dip_noise(0, 0.005);
  for (const bool force : {true, false}) {
    std::string text = force ? "time (ms),force (N)\n" : "time (ms),dip (mm)\n";
    for (std::size_t k = 0; k < s.time.size(); ++k)
      text += std::to_string(1e3 * s.time[k]) + "," +
              (force ? std::to_string(s.finger_force[k] + force_noise(random))
                     : std::to_string(1e3 * s.dip[k] + dip_noise(random))) +
              "\n";
    const auto record = read_history(f.write("record.csv", text));
    const SmoothRecord smoothed = smooth(record);
    EXPECT_EQ(smoothed.cut_off, force ? kForceCutOff : kDipCutOff);
    EXPECT_FALSE(smoothed.let_up);
    const study::PlayedTouch t = play_record(as_found(), record, smoothed);
    EXPECT_EQ(t.stroke.stopped, "");
    EXPECT_NEAR(t.stroke.measures.hammer_speed, 2.0, 0.06) << (force ? "force" : "dip");
    EXPECT_TRUE(t.stroke.happened(action::kJackReset));
    // A force falls at once, the key only when it has come up by a quarter of its dip.
    EXPECT_NEAR(smoothed.release_at, force ? 0.41 : 0.44, 0.02);
    if (!force) {
      EXPECT_GT(t.stroke.measures.peak_force, 2) << "the force is the answer";
    }
    EXPECT_FALSE(t.notes.empty());
  }
}

TEST(Record, ThatEndsPressedIsLetUpAndSaysSo) {
  const support::ScratchFolder f;
  std::string text = "time (s);force (N)\n";
  for (int k = 0; k <= 200; ++k)
    text += std::to_string(1e-3 * k) + ";" + std::to_string(std::min(4.0, 0.1 * k)) + "\n";
  const auto record = read_history(f.write("record.csv", text));
  const SmoothRecord smoothed = smooth(record);
  EXPECT_TRUE(smoothed.let_up);
  EXPECT_NEAR(smoothed.release_at, 0.2 + kRecordStart, 1e-9);
  EXPECT_NEAR(smoothed.history->at(0.15).value, 4, 0.02);
  EXPECT_NEAR(smoothed.history->at(1).value, 0, 0.02);
  const study::PlayedTouch t = play_record(as_found(), record, smoothed);
  EXPECT_TRUE(t.stroke.happened(action::kKeyBack));
  EXPECT_TRUE(t.stroke.faults.empty());
}

// Stored strokes of every kind meet the standard, and a stored stroke is a record itself.
TEST(Played, StrokesOfEveryKindAreStoredAndReadBackAsRecords) {
  const support::ScratchFolder f;
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  study::CompareOptions options;
  options.uncertainty = false;
  study::Comparison c = study::compare(d, options);
  study::SetUpResult& s = c.set_ups[0];
  s.touches.push_back(play_finger_touch(d, s, "mf", true));
  s.touches.push_back(play_finger_touch(d, s, "pp", false));
  s.touches.push_back(play_weight(s, 0.25, 12e-3));
  EXPECT_EQ(s.touches[0].name, "mf struck");
  EXPECT_NEAR(s.touches[0].stroke.measures.hammer_speed, 2, 0.003);
  EXPECT_TRUE(s.touches[0].explained.empty());
  ASSERT_LE(s.touches[1].explained.size(), 1u) << "at pp the check need not hold";
  for (const std::string& why : s.touches[1].explained)
    EXPECT_NE(why.find("to be expected"), std::string::npos);
  EXPECT_TRUE(s.touches[2].stroke.happened(action::kStringContact));
  const std::string path = f.path("played.h5");
  study::write_study(d, c, path);
  for (const auto& finding : store::check_study(path)) ADD_FAILURE() << finding.what;
  const auto record = read_history(path + ":/set_ups/00/strokes/mf struck", "force");
  EXPECT_EQ(record.time.size(), s.touches[0].stroke.series.time.size());
  EXPECT_EQ(record.value[50], s.touches[0].stroke.series.finger_force[50]);
  EXPECT_EQ(problems_of(path + ":/set_ups/00/strokes/mf struck").size(), 1u) << "force or dip?";
  EXPECT_EQ(problems_of(path + ":/set_ups/77").size(), 1u);
}

}  // namespace
}  // namespace leverwright::playing

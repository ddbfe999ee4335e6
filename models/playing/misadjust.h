// One regulation setting at a time moved off where regulation put it: what the scale, the finger, the hammer
// and the check then say, and which faults appear. Everything else stays: the other screws, and the finger's
// force, which is the one that gave p and mf on the regulated action.
//
// Settings are moved by length, as a technician would with a screw or paper; the repetition spring, which has
// no length, by kSpringPerLength of its torque for each metre (0.1 mm: 2 %), an invented equivalence.
// "noticeable" is an invented unit that makes different measures comparable in one picture, about what a
// careful technician would find without looking for it.
#pragma once
#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::playing {

inline constexpr double kSpringPerLength = 0.02 / 0.1e-3;  // [1/m]

enum MisadjustMeasure {
  kMisBlow,
  kMisLetOff,
  kMisDrop,
  kMisDip,
  kMisAftertouch,
  kMisDownWeight,
  kMisUpWeight,
  kMisLetOffResistance,
  kMisSpeedP,
  kMisSpeedMf,
  kMisCheckDistance,
  kMisRepetition,
  kMisCount
};
struct MisadjustInfo {
  const char* key;
  const char* name;
  const char* unit;
  const char* display_unit;
  double display_factor;
  int decimals;
  double noticeable;  // SI
};
extern const std::array<MisadjustInfo, kMisCount> kMisadjustMeasures;

struct MisadjustRow {
  int screw = -1;                        // action::Screw; -1: as regulated
  double moved = 0;                      // [m], positive as turn_direction says
  std::string words;                     // "0.3 mm up", "6 % stronger"
  std::array<double, kMisCount> values;  // SI; NaN where it does not exist
  std::vector<std::string> faults;       // "mf: failed check"
  std::string reason;                    // of a change that looks absurd; else empty
  double dip_button = 0, dip_let_off = 0, dip_of_down_weight = 0;  // m; 0: does not exist
};

struct Misadjustment {
  bool complete = false;
  std::string set_up;
  // The first: as regulated; then screw by screw, from least to most. Stopped part-way: those that were
  // finished; none when not even the first was.
  std::vector<MisadjustRow> rows;
  std::vector<MisadjustRow> missing;  // not reached before the stop, without values
  const MisadjustRow* find(int screw, double moved) const;
};
// "capstan: 0.3 mm up; drop screw: every amount", "" when nothing is missing.
std::string missing_words(const Misadjustment& result);

struct MisadjustOptions {
  std::vector<double> amounts = {0.1e-3, 0.2e-3, 0.3e-3, 0.4e-3, 0.5e-3};  // both ways [m]
  bool repetition = true;
  int threads = 0;
  std::function<bool(double share_done)> progress;  // false: stop; what is finished is kept
};

Misadjustment find_misadjustment(const case_file::CaseDescription& description,
                                 const study::SetUpResult& set_up, const MisadjustOptions& options = {});

}  // namespace leverwright::playing

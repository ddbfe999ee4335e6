// Whether a record can be one of a finger on a key. A wrong unit in its heading (ms called s, mm called m), a
// sign the other way round or a broken sensor gives numbers that can be played and mean nothing; each is
// refused with what gave it away.
//
// What a stroke can be, wide on purpose: strokes last from some 20 ms (ff) to seconds (a slow weighing); a
// struck key meets 80 N at most (models/handbook/struck_experiment.md) and a finger that only rests on it 0.2
// N; keys dip 9 to 11 mm and go down at 1 m/s at most.
#pragma once
#include <string>
#include <vector>

#include "models/playing/recorded_history.h"

namespace leverwright::playing {

struct RecordFault {
  std::size_t sample = 0;
  std::string what, expected, advice;
};

inline constexpr double kShortestRecord = 5e-3, kLongestRecord = 60;  // [s]
inline constexpr double kCoarsestStep = 10e-3, kFinestStep = 1e-6;    // [s], the middle one of all
inline constexpr double kLongestGap = 0.25;                           // [s] without a sample
inline constexpr double kGreatestForce = 300, kLeastPress = 0.1;      // [N], the most that must be reached
inline constexpr double kGreatestDip = 20e-3, kLeastDip = 0.5e-3;     // [m]
inline constexpr double kFastestKey = 3;                              // [m/s]
inline constexpr double kMostBelowZero = 0.5;                         // share of the greatest
inline constexpr std::size_t kMostSamples = 2'000'000;

// Times do not fall and there are two at least. The most telling faults first.
std::vector<RecordFault> find_record_faults(const RecordedHistory& record);

}  // namespace leverwright::playing

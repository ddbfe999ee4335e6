// What a finger or a key really did, from a file: time, and the finger's force or the key's dip.
//
// CSV: the first line that is neither empty nor a comment (#) names the columns with their units, each later
// one is a sample. Columns are separated by commas, semicolons or tabs (with semicolons or tabs a number may
// have a decimal comma). HDF5: FILE.h5 or FILE.h5:/group with 1-D datasets of these names, the unit in the
// attribute `unit`; a stroke of our own results files is one.
//   time    (or t)                              s, ms        never falling
//   force   (or finger_force)                   N, mN, gf    downwards at the playing point
//   dip     (or key_dip, position)              mm, cm, m    of the playing point below the key's rest
// Other columns are left alone and named in `notes`. A file with both force and dip needs `use`.
// UserError with file, line, column and every problem in one run.
//
// The samples are smoothed (sim/run/smoothed_history.h) at a cut-off that is stated; a dip is counted from
// its first sample, which must lie within kRestMiss of zero. A record that ends with the key still pressed is
// let up within 60 ms, and the smoothed record says so.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "sim/run/history.h"

namespace leverwright::playing {

struct RecordedHistory {
  bool is_force = true;
  std::string source;               // the file as given
  std::vector<double> time, value;  // SI
  std::vector<int> line;            // of each sample; 0 in HDF5
  std::vector<std::string> notes;
};

// use: "force", "dip" or "" (the one the file has).
RecordedHistory read_history(const std::string& path, const std::string& use = "");

inline constexpr double kForceCutOff = 300, kDipCutOff = 100;  // [Hz], when none is given
inline constexpr double kRestMiss = 0.5e-3;                    // [m]

struct SmoothRecord {
  std::shared_ptr<const run::History> history;
  double cut_off = 0;     // [Hz]
  double release_at = 0;  // [s]
  double duration = 0;    // [s], with the time the action takes to come to rest
  double scatter = 0;     // root mean square of samples less curve [N or m]
  double largest = 0;     // and the greatest [N or m]
  std::size_t at_sample = 0;
  bool let_up = false;  // by us
};
// The record from kRecordStart on. cut_off 0: the usual one.
SmoothRecord smooth(const RecordedHistory& record, double cut_off = 0);
inline constexpr double kRecordStart = 5e-3;  // [s]

}  // namespace leverwright::playing

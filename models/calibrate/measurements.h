// A file of bench measurements on sample notes: comma-separated, as a spreadsheet writes it.
//
//   # anything after a # is a remark (not in F#4: a # after a letter belongs to the word)
//   note, set_up,   down_weight [gf], up_weight [gf], hammer_centre [gf at 23 mm], measured.strike_weight [gf]
//   C4,   as found, 53,               21.5 +- 1,      4 +- 0.5,                    9.6
//
// One line for each note in one set-up of the case; the same note may stand there before and after. Each
// column names its unit in square brackets (counts have none); an empty cell was not measured. A cell may
// give its own standard deviation after +-; else the usual one below is taken. A column named like a case
// value ("measured.strike_weight") gives the note's own value in place of the case's.
//
//   down_weight, up_weight          gf   1.5 gf     least weight that goes down, most that comes back
//   dip, blow, let_off, aftertouch  mm   0.1, 0.5, 0.2, 0.1 mm
//   key_friction                    gf   1 gf       key alone, stack off, at the playing point
//   hammer_centre, wippen_centre    gf at 23 mm   0.5 gf   gauge, while moving
//   hammer_swings, wippen_swings    count   0.5     full swings until it stands, let go level (swing.h)
//
// Optional columns `date` (2026-11-02) and `humidity [%]` (relative) say when and in what air a line was read; wood and
// cloth follow it. They are kept beside the readings and change no number.
//
// An optional column `state` says how the action stood when a line was read: "regulated" to the case's
// specification (so too where it says nothing), or "as found", before a screw was turned. Readings as found
// are computed with the dip, blow, let-off and aftertouch read on that line in place of the specification.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::calibrate {

enum class Kind {
  kDownWeight,
  kUpWeight,
  kDip,
  kBlow,
  kLetOff,
  kAftertouch,
  kKeyFriction,
  kHammerCentre,
  kWippenCentre,
  kHammerSwings,
  kWippenSwings,
  kKindCount
};

struct KindInfo {
  const char* column;
  const char* name;  // trade words
  case_file::Dimension dimension;
  const char* display_unit;
  double display_factor;  // display = SI * factor
  const char* usual_sigma;
  int decimals;
  const char* range;  // everything plausible; outside it something else was measured, or in another unit
};
const KindInfo& info_of(Kind kind);
double usual_sigma_of(Kind kind);  // SI

// The number in which a reading is fitted. A swing count N is no straight function of friction and grows
// without end as friction vanishes; -1 / (4 N + 1) is one for small swings (swing.h: T = M theta_0 / (4 N +
// 1)), and keeps the sense of N. Every other reading is fitted as it is. `fitted_error`: standard deviation
// of that number.
double to_fit(Kind kind, double value);
double from_fit(Kind kind, double fitted);
double fitted_error(Kind kind, double value, double sigma);

struct Reading {
  Kind kind = Kind::kDownWeight;
  double value = 0, sigma = 0;  // SI
};

struct NoteRow {
  std::string note;
  std::size_t set_up = 0;  // index in the case
  bool as_found = false;   // not regulated: its own dip, blow, let-off, aftertouch hold for this line
  std::vector<Reading> readings;
  std::map<std::string, case_file::Quantity> own;  // in place of the case's
  case_file::Origin place;
  std::string date;      // "2026-11-02"; "": not said
  double humidity = -1;  // relative, per cent; negative: not said
};

// Throws base::UserError with every problem of the file: file, line, what was expected.
std::vector<NoteRow> read_measurements(const std::string& path,
                                       const case_file::CaseDescription& description);

}  // namespace leverwright::calibrate

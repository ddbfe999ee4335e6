// What a case says about its whole keyboard: the section [keyboard] and the sheet of sample notes it names.
// How it is written: models/handbook/keyboard.md.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/keyboard/carry.h"
#include "models/keyboard/leads.h"

namespace leverwright::keyboard {

// What was read on the sample notes, one column of the sheet, or worked out from columns: "key_friction",
// "wanted_capstan", "bare_front_weight", "lead_front_weight", "lead_reflected".
struct SampleColumn {
  std::string key;                 // "measured.strike_weight"
  std::string name;                // "strike weight"
  std::string unit, display_unit;  // as stored, as shown
  double display_factor = 1;       // display = SI * factor
  int decimals = 1;
  Law law;
  bool logarithmic = false;  // the logarithm follows the law (felt: it grows by factors)
  std::vector<Sample> samples;
};

// A line over note numbers, straight between the points given, level beyond them.
struct NoteLine {
  std::vector<std::pair<int, double>> points;
  double at(int note) const;
  bool empty() const { return points.empty(); }
};

enum class CapstanWish { kMeasured, kHeelMiddle, kByRegulation, kByWeight, kCount };
const char* words_of(CapstanWish wish);

struct KeyboardCase {
  std::vector<SampleColumn> columns;
  std::vector<int> sampled;  // notes, rising
  std::string samples_path, samples_text;
  // [keyboard.capstan]
  std::vector<CapstanWish> wishes;  // the first decides; others are shown beside it
  double aftertouch = 0;            // by regulation [m]
  double weight_ratio = 0;          // by weight
  int break_after = 0;              // 0: none, -1: sought
  // [keyboard.leads]
  bool has_leads = false;
  LeadRules rules;
  double to_sharp = 0;  // place nearest the player on a sharp [m]
  NoteLine wanted_front_weight, wanted_balance_weight, front_weight_limit;
  // [keyboard.spring]
  double spring_fade = 0;
  std::vector<std::string> warnings;

  const SampleColumn* find(const std::string& key) const;
};

// True when the case has a [keyboard] section.
bool has_keyboard(const case_file::CaseDescription& description);

// Throws base::UserError with every problem of the section and of the sheet: file, line, what was expected.
KeyboardCase read_keyboard(const case_file::CaseDescription& description);

}  // namespace leverwright::keyboard

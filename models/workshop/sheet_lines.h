// The lines of the bench sheet: every measurement a case can take, each with a number of its own. The printed
// sheet, its drawings, the file that is filled in and the messages about it all use these numbers. A number
// once given is never given to another measurement; whole tens and hundreds leave room for more.
//
// Usual values, tools and how to measure: common practice, no source, unless the schema's row of the same key
// names one.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "models/calibrate/measurements.h"
#include "models/case_file/case_description.h"

namespace leverwright::workshop {

enum class Use {
  kQuantity,      // a quantity of the case: `key` is its path
  kChoice,        // a word of the case: `key` is its path
  kReading,       // read on a sample note only, for calibrate and afterwards: `key` is its column
  kLeadMass,      // of lead `index`
  kLeadDistance,  // of lead `index`
  kTracePoint,    // of the heel's profile: two numbers, toward the player and below the wippen centre
};

enum class Drawing { kNone, kSide, kKey, kHeel, kHammer };  // where the line's number stands

struct SheetLine {
  int number = 0;
  const char* section = "";
  Use use = Use::kQuantity;
  std::string key;
  const char* name = "";   // trade words
  const char* where = "";  // from where to where, and how
  const char* tool = "";
  bool shared = false;       // one value for the piano; else one for each sample note
  double low = 1, high = 0;  // usual values in `unit`; low > high: none is usual
  const char* unit = "";     // as a person writes it; "" for words and plain numbers
  Drawing drawing = Drawing::kNone;
  bool supplement = false;  // on the page that is left out when the parts are those of the part files
  int index = 0;
  bool has_usual() const { return high >= low; }
};

// "C4" is note 40, "F#2" a sharp; nothing when the name is none of the 88.
struct NamedNote {
  int number = 0;
  bool sharp = false;
};
std::optional<NamedNote> note_named(const std::string& name);

// In the order of the sheet.
const std::vector<SheetLine>& sheet_lines();
// nullptr when no line has this number.
const SheetLine* find_line(int number);
// The line of a case key, or nullptr. (The measurements of a part that a case may also say.)
const SheetLine* find_line_of(const std::string& key);

case_file::Dimension dimension_of(const SheetLine& line);
// The usual uncertainty when nothing is written beside a value, as the schema writes it ("0.5 mm").
std::string usual_uncertainty(const SheetLine& line);
// "112 to 113", "under 3", "" where nothing is usual.
std::string usual_words(const SheetLine& line);
// Words a kChoice may take.
std::vector<std::string> words_of(const SheetLine& line);
// Reading of the sample-notes file this line is, or kKindCount.
calibrate::Kind reading_of(const SheetLine& line);
// Read with the action regulated before the work, not as found.
bool is_regulated_reading(const SheetLine& line);

inline constexpr int kMostLeads = 6, kTracePoints = 12;
// Number of the line of a lead's mass; its place stands on the next one.
int line_of_lead(int lead);

}  // namespace leverwright::workshop

// Old part against new part: a column of the bench sheet headed "new wippen" (or "new hammer", "new capstan") beside
// the note's own. The note's column describes the part as found, the other one the part that is to be fitted. Of the
// two are made two part files, and a set-up that fits the new one.
//
// The part as found: the part file the case names, with what the sheet measured put in its place. The new part: the same
// with what was measured of it put in place; what was not measured is taken to be as in the old one, with a doubt of its
// own, and is named. Weight and centre frictions go into a part file only where they were read: a new
// part without them keeps what was measured on the old one.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/filled_sheet.h"
#include "models/workshop/sheet_lines.h"

namespace leverwright::workshop {

inline constexpr const char* kNewPartHeading = "new ";

// Slots that may have such a column.
const std::vector<std::string>& slots_of_new_parts();

// What the line is called in a part file of this slot: line 43 and "wippen" -> "lifting_face_start", line 72 ->
// "centre_friction"; "" when the line is not measured on that part.
std::string part_key(const SheetLine& line, const std::string& slot);

struct PartFiles {
  std::string slot;
  std::string old_name, new_name;  // "wippen_as_found.toml", "wippen_new.toml", to stand beside the case
  std::string old_text, new_text;
  std::string set_up;                   // its name, "new wippen"
  std::string set_up_text;              // lines to be put at the end of the case
  std::vector<std::string> unmeasured;  // of the new part: names of lines the old one has
};

// `sheet` has a new part. base::UserError when nothing of it was filled in or the case's part file cannot be read.
PartFiles write_part_files(const FilledSheet& sheet, std::size_t note,
                           const case_file::CaseDescription& base);

}  // namespace leverwright::workshop

// A filled bench sheet made into a case: its values put into the text of another case (the one the sheet was
// printed for, or the blank case beside this header), which otherwise stays as it was, remarks and all. What
// the sheet leaves open keeps what that case says; it is listed.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/filled_sheet.h"

namespace leverwright::workshop {

// What a line that was left empty stands at.
struct LeftOpen {
  int line = 0;
  std::string name;
  std::string stays;      // "112.5 mm (109 mm to 115 mm)"; "" when the case has nothing
  bool estimate = false;  // an estimate or a default, not a measurement
};

struct CaseFromSheet {
  std::string note, text;
  std::vector<LeftOpen> open;
};

// `base`: the case read from `base.path`. Throws base::UserError when its text cannot take the values.
CaseFromSheet write_case_text(const FilledSheet& sheet, std::size_t note,
                              const case_file::CaseDescription& base);

// The notes of the sheet as the measurements file that calibrate and afterwards read, all in this set-up;
// "" when not one reading was filled in.
std::string write_notes_file(const FilledSheet& sheet, const std::string& set_up);

// Path of the case with nothing measured in it: estimates with ranges everywhere.
std::string blank_case_path();

// What the filled values say about one another once they are a case: misfits of the geometry over three
// standard deviations, with the numbers of the lines and where they were typed. Throws base::UserError when
// they cannot belong to one action.
std::vector<std::string> find_misfits(const FilledSheet& sheet, std::size_t note,
                                      const case_file::CaseDescription& made);

}  // namespace leverwright::workshop

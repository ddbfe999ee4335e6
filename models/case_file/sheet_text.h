// Lines of a sheet of readings as a spreadsheet writes it: fields between separators, remarks, headings with
// a unit.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/document.h"

namespace leverwright::case_file {

// Without blanks, tabs and carriage returns at either end.
std::string trimmed(const std::string& text);

// A remark begins with a # outside quotes that does not follow a letter: C#4 is a note.
std::string without_remark(const std::string& line);

// Fields, trimmed; a separator inside quotes belongs to its field. A line without a separator is one field.
std::vector<std::string> split_fields(const std::string& line, char separator);

// "strike_weight [gf]"; unit "" where no brackets stand.
struct SheetHeading {
  std::string name, unit;
};
SheetHeading split_heading(const std::string& written);

// The one way into a file of readings. False after adding a problem: missing, a folder or device, larger than
// kLargestSheet or `most` bytes, no plain UTF-8 text. Without the mark some spreadsheets begin with. `what`:
// "the filled sheet"; `example`: what to look at. A remark "# format 2" before the headings says a newer form
// than kSheetFormat and is refused; without one it is 1.
inline constexpr int kSheetFormat = 1;
inline constexpr std::size_t kLargestSheet = 4u << 20;
bool read_sheet_lines(const std::string& path, const std::string& what, const std::string& example,
                      FileText& file, ProblemList& problems, std::size_t most = kLargestSheet);

}  // namespace leverwright::case_file

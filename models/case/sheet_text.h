// Lines of a sheet of readings as a spreadsheet writes it: fields between separators, remarks, headings with
// a unit.
#pragma once
#include <string>
#include <vector>

#include "models/case/document.h"

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

// Reads text and lines, without the mark some spreadsheets begin with. False when it is missing or a folder:
// the caller says what was expected.
bool read_sheet_lines(const std::string& path, FileText& file);

}  // namespace leverwright::case_file

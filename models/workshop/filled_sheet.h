// The bench sheet as a file to type into: comma-separated, one line for each line of the sheet, one column
// for each sample note. Its numbers are those of the printed sheet.
//
//   # anything after a # is a remark
//   line, measurement, unit, C4, G3
//   11, spread, mm, 112.5 +- 0.25,
//   71, hammer centre, gf at 23 mm, 4, 3.5 at 20
//   81, down weight, gf, 53 / 54 / 53, 55
//
// A column headed "new wippen" (or "new hammer", "new capstan") holds what was measured of a part that is to be fitted.
//
// An empty cell was not measured. In a cell: a number in the line's unit; +- its standard deviation (else the
// usual one of the case format); another unit behind it, inches with their fractions and ounces among them
// (bench_units.h); several readings of one thing between slashes (their mean is taken, the
// standard deviation is left as it is: it is the method's, not the hand's); an estimate as "1 to 2"; for a
// centre another radius after "at". A line that counts for the whole piano needs one cell; several have to
// agree. Semicolons or tabs may stand for the commas, and then a decimal comma is a decimal point. Lines may
// be left out, and stand in any order; the measurement's name is for people and not read.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/sheet_lines.h"

namespace leverwright::workshop {

struct Cell {
  std::string text;              // as a case file writes it: "112.5 mm +- 0.25 mm", "natural"
  case_file::Quantity quantity;  // SI; place: where it was typed. Not of words and trace points.
  double along = 0, below = 0;   // kTracePoint only, m: toward the player, below the wippen centre
  case_file::Origin place;
};

struct FilledSheet {
  std::vector<std::string> notes;                     // names over the columns
  std::map<std::pair<int, std::size_t>, Cell> cells;  // by line number and note; shared lines under note 0
  std::vector<std::string> warnings;                  // "filled.csv:14: ..."
  std::string path;
  // A column "new wippen": what was measured of a part that is to be fitted (new_part.h), by line number.
  std::string new_slot;  // "": no such column
  std::map<int, Cell> new_part;
  const Cell* find(int line, std::size_t note) const;
};

// Throws base::UserError with every problem: what cannot be read, is outside everything plausible, or
// contradicts another line (an up weight over the down weight, a shared line with two values).
FilledSheet read_filled_sheet(const std::string& path);
// The same of a text at hand; `path` for messages.
FilledSheet read_filled_text(const std::string& text, const std::string& path);

// The value as a cell holds it, in the line's unit; "" when the case does not say it as a measurement (an
// estimate is no reading).
std::string write_cell(const SheetLine& line, const case_file::CaseDescription& description);

// What a column's cell holds before anybody wrote in it: values of the whole piano once, those of a note
// under the case's own note alone, number and kind of the others from their names. `description` empty:
// nothing.
std::string known_cell(const SheetLine& line, const case_file::CaseDescription* description,
                       const std::vector<std::string>& notes, std::size_t note);

// The file with the cells the case knows already filled in for its own note; `description` empty: all blank.
// `notes`: names of the columns.
std::string write_blank_file(const case_file::CaseDescription* description,
                             const std::vector<std::string>& notes, bool supplement,
                             const std::string& new_slot = "");

}  // namespace leverwright::workshop

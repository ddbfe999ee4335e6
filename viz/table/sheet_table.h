// The bench sheet in the terminal and for other programs: which measurements matter most, and what a filled
// sheet was read as.
#pragma once
#include <string>
#include <vector>

#include "models/workshop/accuracy.h"
#include "models/workshop/filled_sheet.h"
#include "models/workshop/sheet_to_case.h"
#include "viz/table/text.h"

namespace leverwright::table {

// One line as the printed sheet shows it.
struct SheetWords {
  std::string usual;     // "112 to 113"
  std::string accuracy;  // "0.25 mm", one standard deviation
  bool most = false;     // matters most for this case's question
  bool finer = false;    // asked for finer than usual
  std::string known;     // value of the case, as it goes into a cell; empty when not measured
};
SheetWords find_sheet_words(const workshop::SheetLine& line, const case_file::CaseDescription* description,
                            const workshop::AccuracyPlan& plan);

std::string write_sheet(const workshop::AccuracyPlan& plan, bool with_case, const Look& look);
std::string write_sheet_json(const case_file::CaseDescription* description,
                             const workshop::AccuracyPlan& plan);

struct ReadBack {  // of one note
  workshop::CaseFromSheet made;
  std::string path;                   // of the case written
  std::vector<std::string> warnings;  // misfits and oddities of the case
};
std::string write_read_back(const workshop::FilledSheet& sheet, const std::vector<ReadBack>& notes,
                            const Look& look);
std::string write_read_back_json(const workshop::FilledSheet& sheet, const std::vector<ReadBack>& notes);

}  // namespace leverwright::table

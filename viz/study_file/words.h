// The words of a study: its answer, the table of its numbers, screws and warnings, for reports.
#pragma once
#include <string>
#include <vector>

#include "viz/study_file/stored_study.h"

namespace leverwright::study_file {

struct Measure {
  std::string name, unit;
};
struct Cell {
  std::string value;    // in the unit of its row, "-" when unknown
  std::string change;   // against the first set-up; "kept" when there is none
  std::string sigma;    // one standard deviation of the change, or empty
  std::string verdict;  // word of the judgement, or empty
};
struct SetUpWords {
  std::string name, verdict;
  std::vector<Cell> cells;  // one for each measure
  std::vector<std::string> screws, warnings;
  std::string undone;  // "NOT REVERSIBLE", "undone in minutes", ...
};
struct Content {
  std::string title, question, created, version, case_path, status;
  std::vector<std::string> answer;   // lines of the judgement, the first says what to do
  std::vector<std::string> advised;  // set-ups to be done, in this order
  std::vector<Measure> measures;
  std::vector<SetUpWords> set_ups;
  std::vector<std::string> failed;  // "name: reason"
  bool invented = false;
  std::vector<std::string> rests_on;  // readings as found, what was conditioned on them, invented values
};

// UserError when the file holds no finished set-up.
Content read_words(const StoredStudy& study);

}  // namespace leverwright::study_file

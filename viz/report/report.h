// One self-contained HTML file about a study: opens offline, prints, works on a phone.
#pragma once
#include <functional>
#include <string>
#include <vector>

namespace leverwright::report {

enum class Audience {
  kCustomer,  // words and pictures, no mathematics
  kTraining,  // with the formulas behind the numbers
  kWorkshop   // with screws, uncertainties and what to look at
};

// What a report says, gathered from the results file.
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

// UserError: no study, or no finished set-up in it.
Content read_content(const std::string& results_path);

struct Options {
  Audience audience = Audience::kWorkshop;
  std::string film;  // a film to put in; empty: one is made when ffmpeg is there, else still pictures
  bool with_film = true;
  std::function<bool(const std::string& doing, double share)> progress;  // false: stop, no file is left
};

struct Written {
  std::string path;
  size_t bytes = 0;
  std::string film;  // "film", "still pictures" or "none", and why
  bool stopped = false;
};
// Written under a temporary name and renamed.
Written write_report(const std::string& results_path, const std::string& path, const Options& options);

std::string encode_base64(const std::string& bytes);

}  // namespace leverwright::report

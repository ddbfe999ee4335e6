// The verbs of the command line, one function each. They return an exit code and throw base::UserError.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "models/case/case_description.h"
#include "models/study/compare.h"
#include "sim/base/error.h"
#include "viz/app/terminal.h"

namespace leverwright::app {

class Progress;

struct CompareRequest {
  std::string case_path, out;  // out "": out/<case name>
  bool uncertainty = true, touches = true, pictures = true;
  bool all = false;       // every touch in the table, not only mf
  std::string json, csv;  // "": none; "-": standard output in place of the table
  int samples = 0;        // of a Monte Carlo; 0: none
  std::uint64_t seed = 1;
  bool prior_only = false;  // readings as found are compared, not leaned on
};
int run_compare(const CompareRequest& request, const Terminal& terminal);

int run_weigh(const std::string& case_path, const std::string& set_up, bool prior_only,
              const Terminal& terminal);
// policy "": all; set_up "": all.
int run_regulate(const std::string& case_path, const std::string& policy, const std::string& set_up,
                 const Terminal& terminal);
struct PlayRequest {
  std::string case_path, set_up;
  std::vector<std::string> touches;  // empty: all, or none where a record or a weight is given
  std::vector<std::string> how;      // "pressed", "struck", "finger"; empty: pressed
  std::string history, use;          // record to play ("": none); "force" or "dip"
  double cut_off = 0;                // of its smoothing, Hz; 0: the usual one
  std::string weight, from;          // dropped weight ("250 g"; "": none) and its height ("12 mm")
  std::string out;                   // folder for results file and pictures; "": none
  std::string json, csv;             // "": none; "-": standard output in place of the table
};
int run_play(const PlayRequest& request, const Terminal& terminal);
int run_read(const std::string& case_path, bool prior_only, const Terminal& terminal);
int run_draw(const std::string& study_path, const std::string& out, const Terminal& terminal);
struct FilmWords {
  std::string study_path, out, frames, set_up, beside, ghost, stroke = "mf", size = "1280x720";
  double slow = 50, rate = 30, from = -1, to = -1;  // times; per second; ms
  bool whole = false, no_film = false;
};
int run_film(const FilmWords& words, const Terminal& terminal);
struct ReportWords {
  std::string study_path, out, audience = "workshop", film;
  bool no_film = false;
};
int run_report(const ReportWords& words, const Terminal& terminal);
struct ExportWords {
  std::string study_path, out, stroke = "mf", set_up;
  std::vector<std::string> kinds;
  double every = 1;  // ms
};
int run_export(const ExportWords& words, const Terminal& terminal);
int run_check(const std::string& study_path, const Terminal& terminal);
int run_bands(const std::string& case_path, const std::string& set_up, const std::string& csv,
              bool uncertainty, const Terminal& terminal);
// out "": standard output, without pictures; quick: without uncertainties.
int run_validation(const std::string& case_path, const std::string& set_up, const std::string& out,
                   const std::string& commit, bool quick, const Terminal& terminal);
int run_cautions(const Terminal& terminal);

struct PartsOrder {
  std::string case_path, slot, part_a, part_b, by;
  bool repetition = false;
  std::string csv, json;  // "": none; "-": standard output in place of the table
};
int run_parts(const PartsOrder& order, const Terminal& terminal);

struct SeekOrder {
  std::string case_path, name, out;  // name "": all; out "": out/<case name>
  std::string csv, json;             // as above
  int steps = 0;                     // of a map along each amount; 0: usual
  bool pictures = true, prior_only = false;
};
int run_seek(const SeekOrder& order, const Terminal& terminal);
int run_map(const SeekOrder& order, const Terminal& terminal);

// Index of the set-up of this name, 0 for ""; UserError with the nearest name.
std::size_t find_set_up(const case_file::CaseDescription& description, const std::string& name);
// The case with only the base and this set-up left.
case_file::CaseDescription only_set_up(const case_file::CaseDescription& description, std::size_t index);
// The set-up cannot be regulated or weighed: nothing can be said of it. `who` comes before its name: "the
// base ".
base::UserError without_answer(const case_file::SetUp& set_up, const study::SetUpResult& result,
                               const std::string& who = "");
// This set-up ("": the base) regulated against the base, weighed, and these touches played on it.
study::SetUpResult solve_one(const case_file::CaseDescription& description, const std::string& set_up,
                             const std::vector<std::string>& touches, const Terminal& terminal);
// Every set-up regulated and weighed, without uncertainties; an interrupt keeps the finished ones.
study::Comparison regulate_set_ups(const case_file::CaseDescription& description, Progress& progress);
// "written" names the files, one a line.
void say_written(const std::vector<std::string>& files, const Terminal& terminal);
// UserError with every fault of a results file that does not keep the standard: pictures rely on it.
void need_sound_study(const std::string& path);
// UserError that names "pictures" when this program was built without them.
std::vector<std::string> draw_pictures(const std::string& study_path, const std::string& folder);

}  // namespace leverwright::app

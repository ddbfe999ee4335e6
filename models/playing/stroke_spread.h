// The measurements' uncertainty carried through the strokes.
//
// Every uncertain input of the case, those that only a moving hammer feels as well (check and its leather,
// tail, felt, string, radii of gyration), is moved by one standard deviation; the set-up is regulated afresh,
// by measure and by playing, weighed, and the touches' forces are found again for their hammer speeds. With
// c_i the change of an answer: sigma^2 = sum c_i^2, as for the measures of compare.h. An input by which an
// answer vanishes (a hammer not caught) counts in `lost` and not in the sum. Not carried: the touch itself,
// whose speed is its definition and whose rise time is a convention, and numbers without an uncertainty.
#pragma once
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::playing {

using Answers = std::map<std::string, double>;

struct StrokeSpread {
  double sigma = 0;           // in the answer's unit
  std::string dominant;       // input with the largest share
  double dominant_share = 0;  // of the variance
  int lost = 0;               // inputs that left no answer
};

struct SpreadOptions {
  std::vector<std::string> touches;
  int threads = 0;
  std::function<bool(double share_done)> progress;  // false: stop; the answer is empty then
};

// `ask` reads the answers off a solved set-up; it is called by several threads at once. `set_up`: index.
// Some hundred times the work of one set-up; the same bits for any number of threads.
std::map<std::string, StrokeSpread> find_stroke_spread(
    const case_file::CaseDescription& description, std::size_t set_up,
    const std::function<Answers(const study::SetUpResult&)>& ask, const SpreadOptions& options);

}  // namespace leverwright::playing

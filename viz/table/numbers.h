// Every number of a set-up as one flat list in trade units: what JSON and CSV both hold. The catalogue of
// quantities (models/study/quantities.h), then the touches.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::table {

struct NumberLine {
  std::string group;                      // "measure", "regulation", "screw", "bench", "lead", "touch mf"
  std::string key;                        // "down_weight"
  std::string name;                       // trade words
  std::string unit;                       // "gf"; "1" for a plain number
  double value = 0;                       // NaN: does not exist here
  double sigma, change, sigma_of_change;  // NaN: not known, or not asked of this number
  std::string judgement;   // "better", "probably better", "no change", ...; empty where nothing is judged
  std::string dominant;    // input with the largest share of the uncertainty
  std::string why_absent;  // "" where there is a value
  double nearer = judgement::kUnknown;  // odds that it comes nearer to what is wanted
};

// `base`: nullptr when this set-up is the base itself.
std::vector<NumberLine> find_numbers(const study::SetUpResult& set_up, const study::SetUpResult* base,
                                     bool uncertainty);

std::string judgement_word(study::Judgement judgement);

}  // namespace leverwright::table

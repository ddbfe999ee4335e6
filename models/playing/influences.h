// What is changed, one thing at a time, to see what a limit of repetition hangs on. Screws stay where they
// were.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::playing {

struct Varied {
  const case_file::CaseDescription& description;
  std::size_t index;  // of the set-up
  action::ActionDesign design;
  action::ScrewSettings screws;
  double up_time;  // of the finger [s]
};

struct Influencer {
  std::string kind, less, more;
  std::function<void(Varied&, int way)> apply;  // way -1: less, +1: more
};
const std::vector<Influencer>& known_influences();

struct Repetition;
// What limits this repetition, in sentences: by the sizes of its influences (already sorted).
std::string write_limit_words(const Repetition& repetition);

}  // namespace leverwright::playing

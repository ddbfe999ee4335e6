// Reads situations.txt; its head says what a line may hold.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "models/judgement/judge.h"

namespace leverwright::judgement_test {

struct ExpectedWord {
  std::string move, measure, word;
};

struct Situation {
  std::string name, why, worst;
  judgement::Question question;
  std::vector<ExpectedWord> words;
  std::map<std::string, std::string> answers;  // by who: "", "naturals", "sharps"
};

// Throws std::runtime_error with the line that cannot be read.
std::vector<Situation> read_situations(const std::string& path);

// "do centres eased then nothing".
std::string answer_of(const judgement::Question& question, const judgement::Advice& advice);

}  // namespace leverwright::judgement_test

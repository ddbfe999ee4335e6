// Wild actions through weighing, playing and comparing; what came of each is counted.
#pragma once
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::hardness {

enum class Through { kWeigh, kPlay, kCompare };

struct Outcome {
  std::string refusal;              // in the words of the program; empty: answered
  bool by_reader = false;           // the refusal is the reader's
  std::vector<std::string> broken;  // rules an answer must keep (invariants.h), or what was thrown
  double seconds = 0;               // of processor time
  int evaluations = 0;              // of the statics, while it was regulated
  std::string moved;                // the values drawn, as a case states them
};

struct Tally {
  int tried = 0, answered = 0, by_reader = 0, refused = 0, broken = 0, late = 0;
  std::map<std::string, int> refusals, breaks;  // by their first words
  std::map<std::string, int> kinds;             // answered, by kind of draw
  std::vector<double> seconds;
};

inline constexpr double kWeighLimit = 2, kPlayLimit = 30, kCompareLimit = 30;  // [s] of processor time

// Action number `which` of this seed; the same whatever was drawn before.
Outcome run_one(const case_file::CaseDescription& model, Through through, std::uint64_t seed, int which,
                std::string* kind = nullptr);
Tally run_many(const case_file::CaseDescription& model, Through through, std::uint64_t seed, int from,
               int count,
               const std::function<void(int which, const std::string& kind, const Outcome&)>& tell = {});

}  // namespace leverwright::hardness

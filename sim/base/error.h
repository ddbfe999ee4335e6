// Errors a person can act on. Programmer errors are assertions; the two never mix.
#pragma once
#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

namespace leverwright::base {

// One thing wrong with something the user gave us. `line` counts from 1; 0 means "the file as a whole".
struct Problem {
  std::string file;
  int line = 0;
  std::string line_text;  // the offending line itself, verbatim
  std::string what;       // what is wrong, in trade words
  std::string expected;   // what was expected there
  std::string advice;     // what to do next (nearest known key, the right unit, ...)
};

// All problems found in one run are thrown together.
class UserError : public std::exception {
 public:
  explicit UserError(std::vector<Problem> problems);
  explicit UserError(const std::string& what, const std::string& advice = "");
  const std::vector<Problem>& problems() const { return problems_; }
  const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::vector<Problem> problems_;
  std::string text_;
};

// Several problems as the text a terminal shows (no colour): the first kMostProblems, then how many more.
// Control characters are written out and long lines cut.
inline constexpr std::size_t kMostProblems = 20;
std::string write_problems(const std::vector<Problem>& problems);

// The computation had to stop: names the culprit. What was computed so far is kept by the caller.
class Unstable : public std::runtime_error {
 public:
  Unstable(std::string culprit, double time_s, std::string last_event, std::string why);
  std::string culprit;  // body or contact
  double time_s = 0;    // or dip in m for quasi-static paths
  std::string last_event;
  std::string why;
};

}  // namespace leverwright::base

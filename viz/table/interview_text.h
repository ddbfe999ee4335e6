// The questions of `new` and what is said at their end, as a terminal shows them.
#pragma once
#include <string>

#include "models/workshop/interview.h"
#include "viz/table/sheet_table.h"
#include "viz/table/text.h"

namespace leverwright::table {

class InterviewText {
 public:
  explicit InterviewText(const Look& look) : look_(look) {}
  // Where the line is measured, and the prompt behind which the answer is typed.
  std::string question(const workshop::Question& question, const workshop::Interview& interview);
  std::string reply(const workshop::Reply& reply) const;

 private:
  Look look_;
  std::string section_;
};

std::string write_interview_head(const workshop::Interview& interview, const std::string& sheet_path,
                                 const Look& look);
// What the case rests on, what is odd about it, and what to do next.
std::string write_interview_end(const workshop::Interview& interview, const workshop::FilledSheet& sheet,
                                const ReadBack& made, const Look& look);

}  // namespace leverwright::table

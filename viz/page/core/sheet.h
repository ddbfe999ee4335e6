// The bench sheet as a form: its lines, what each answer is worth, and the case made of them. The answers are judged
// by the interview of the command line (models/workshop/interview.h), so both ask, warn and refuse alike.
//
//   sheet_lines   the lines in the order of the sheet, the first ones marked            {}
//   sheet         answers as they stand; what is to be said of those that changed       {note, cells: {"11": "112.5"}}
//   sheet_case    the case as text, what stays open, and whether it can be regulated     {title?}
#pragma once
#include <map>
#include <string>

#include "models/workshop/interview.h"
#include "viz/page/core/scene_json.h"

namespace leverwright::page {

Json sheet_lines();

class Sheet {
 public:
  Sheet();
  // Answers by line number: {"note": ..., "replies": {"11": {"taken": true, "says": [...]}}, "given": 3}. An answer
  // that is refused leaves what stood there before.
  Json answer(const Json& request);
  // Throws base::UserError when nothing was answered or the answers belong to no action.
  Json write_case(const Json& request) const;

 private:
  workshop::Interview interview_;
  std::map<int, std::string> written_;  // as last said, taken or not
  std::string note_;
};

}  // namespace leverwright::page

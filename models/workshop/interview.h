// The bench sheet asked line by line: what is asked next, and what an answer is worth. An answer becomes a cell as it
// would be typed into the sheet's file (filled_sheet.h) and is read by the sheet's own reader; the case is made of it
// by sheet_to_case.h. Nothing here knows a terminal.
//
// The note first; then fifteen lines (first_lines.h); then, where it is wanted, the rest; each
// in the sheet's order. A line that an answer has made needless is not asked: the place of a lead there is not, the
// radius of a flat cap, the next point of a trace that has ended.
//
//   (empty), don't know, ?     the line stays open
//   back                       to the question before; there an empty answer leaves what stands
//   11 = 112.5                 changes line 11
//   done                       enough: the case is made of what there is
//   stop                       what there is is kept for another time
#pragma once
#include <map>
#include <set>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/filled_sheet.h"
#include "models/workshop/sheet_lines.h"

namespace leverwright::workshop {

struct Question {
  enum class Kind { kNote, kLine, kGoOn, kNone };  // kGoOn: the first lines are asked: the rest as well?
  Kind kind = Kind::kNone;
  const SheetLine* line = nullptr;  // kLine
  int place = 0, of = 0;            // of the first lines, or of the rest
  bool first = false;               // one of the first lines
  std::string known;                // what was answered before; empty: nothing
};

struct Reply {
  enum class Kind { kTaken, kLeftOpen, kRefused, kChanged, kWentBack, kDone, kStop };
  Kind kind = Kind::kTaken;
  std::vector<std::string> says;  // why it is refused, or what is odd about it
};

class Interview {
 public:
  // `base`: the case whose text takes the values. `parts`: the lines of positions and the trace as well.
  Interview(case_file::CaseDescription base, bool parts);
  // Goes on with a sheet that was begun: what is filled in is not asked again. base::UserError when it has more
  // notes than one.
  void take_over(const FilledSheet& sheet);

  Question question() const;
  Reply answer(const std::string& written);

  bool is_done() const { return ended_ == Ended::kDone; }
  bool is_stopped() const { return ended_ == Ended::kStopped; }
  int given() const { return static_cast<int>(cells_.size()); }
  const std::string& note() const { return note_; }
  // The sheet's file with what was given, readable by read_filled_sheet.
  std::string sheet_text() const { return write_sheet(cells_); }
  // The same as read; `path` for messages. base::UserError when nothing was given.
  FilledSheet sheet(const std::string& path) const { return read_filled_text(sheet_text(), path); }
  // First lines still open, the most telling first.
  std::vector<const SheetLine*> open_first() const;

 private:
  using Cells = std::map<int, std::string>;  // as typed, by line number
  enum class Ended { kNo, kDone, kStopped };
  struct Step {
    Question::Kind kind = Question::Kind::kNone;
    const SheetLine* line = nullptr;
    bool first = false;
  };

  std::string write_sheet(const Cells& cells) const;
  bool is_needless(const Step& step) const;
  void go_on();
  Reply answer_note(const std::string& written);
  Reply answer_line(const SheetLine& line, const std::string& written);
  std::vector<std::string> check(const SheetLine& line, const Cells& cells, bool& refused);
  void check_geometry(const FilledSheet& sheet, std::vector<std::string>& says, bool& refused) const;

  case_file::CaseDescription base_;
  std::vector<Step> steps_;
  std::size_t at_ = 0;
  std::vector<std::size_t> asked_;  // steps before this one, for "back"
  std::string note_;
  Cells cells_;
  std::set<std::string> said_;  // oddities are told once
  Ended ended_ = Ended::kNo;
};

}  // namespace leverwright::workshop

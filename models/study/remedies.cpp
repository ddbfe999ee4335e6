#include "models/study/remedies.h"

#include "models/case_file/remedy.h"
#include "models/remedies/work.h"

namespace leverwright::study {

std::vector<RemedyLine> find_remedies(const case_file::SetUp& set_up, const action::ActionDesign& base,
                                      const action::ActionDesign& changed) {
  std::vector<RemedyLine> out;
  for (const std::size_t k : case_file::in_order(set_up)) {
    const case_file::Change& c = set_up.changes[k];
    out.push_back({c.kind(), c.remedy->hand({c, base, changed}), &c.remedy->row, c.remedy->undone(c)});
  }
  return out;
}

case_file::Labour labour_of(const case_file::SetUp& set_up) {
  case_file::Labour sum{"set", 0, 0};
  for (const case_file::Change& c : set_up.changes) {
    const case_file::Labour& labour = c.remedy->row.labour;
    if (labour.per == "note") sum.per = "note";
    sum.hours_low += labour.hours_low;
    sum.hours_high += labour.hours_high;
  }
  return sum;
}

std::string reversible(const case_file::SetUp& set_up) {
  std::string worst = "yes";
  for (const case_file::Change& c : set_up.changes) {
    const std::string& this_one = c.remedy->row.reversible;
    if (this_one == "no" || (this_one == "partly" && worst == "yes")) worst = this_one;
  }
  return worst;
}

}  // namespace leverwright::study

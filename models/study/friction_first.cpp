#include "models/study/friction_first.h"

#include <fmt/format.h>

#include <algorithm>

#include "models/case_file/remedy.h"

namespace leverwright::study {

namespace {

std::vector<case_file::Change> friction_changes(const case_file::SetUp& set_up) {
  std::vector<case_file::Change> out;
  for (const case_file::Change& c : set_up.changes)
    if (c.remedy->row.friction_only) out.push_back(c);
  return out;
}

}  // namespace

case_file::CaseDescription with_friction_first(const case_file::CaseDescription& d) {
  const case_file::SetUp* from = nullptr;
  std::vector<case_file::Change> changes;
  for (const case_file::SetUp& s : d.set_ups) {
    if (case_file::eases_friction_only(s) || s.name == "friction first") return d;
    auto eased = friction_changes(s);
    if (eased.size() <= changes.size()) continue;
    changes = std::move(eased);
    from = &s;
  }
  if (from == nullptr) return d;
  case_file::CaseDescription out = d;
  case_file::SetUp first;
  first.name = "friction first";
  first.description =
      fmt::format("the friction treatments of \"{}\" alone, put together by the program", from->name);
  first.changes = std::move(changes);
  first.place = from->place;
  out.set_ups.push_back(std::move(first));
  return out;
}

}  // namespace leverwright::study

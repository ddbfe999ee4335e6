#include "models/case_file/remedy.h"

#include <fmt/format.h>

#include <algorithm>

#include "models/case_file/trade_names.h"

namespace leverwright::case_file {

std::string Remedy::name_of(const Change&, const std::string& amount) const {
  if (amount.find('.') != std::string::npos)  // of a part or a material: a key of the case
    return row.kind + ": " + trade_name(amount);
  std::string words = amount;
  std::replace(words.begin(), words.end(), '_', ' ');
  return row.kind + ": " + words;
}

const Remedy* find_remedy(const RemedyList& list, const std::string& kind) {
  for (const Remedy* remedy : list)
    if (remedy->row.kind == kind) return remedy;
  return nullptr;
}

std::vector<std::size_t> in_order(const SetUp& set_up) {
  std::vector<std::size_t> out(set_up.changes.size());
  for (std::size_t k = 0; k < out.size(); ++k) out[k] = k;
  std::stable_sort(out.begin(), out.end(), [&](std::size_t one, std::size_t other) {
    return set_up.changes[one].remedy->row.order < set_up.changes[other].remedy->row.order;
  });
  return out;
}

int undone_class(const SetUp& set_up) {
  int worst = kUndoneInMinutes;
  for (const Change& c : set_up.changes) worst = std::max(worst, c.remedy->undone(c));
  return worst;
}

bool eases_friction_only(const SetUp& set_up) {
  return !set_up.changes.empty() && std::all_of(set_up.changes.begin(), set_up.changes.end(),
                                                [](const Change& c) { return c.remedy->row.friction_only; });
}

void find_contradictions(const SetUp& set_up, const FileText& file, ProblemList& problems) {
  const auto& all = set_up.changes;
  for (std::size_t k = 0; k < all.size(); ++k)
    for (std::size_t i = 0; i < k; ++i) {
      std::string why;
      for (const Claim& one : all[i].remedy->claims(all[i]))
        for (const Claim& other : all[k].remedy->claims(all[k]))
          if (why.empty() && one.thing == other.thing) why = "both decide " + one.words;
      if (why.empty()) why = all[i].remedy->excludes(all[i], all[k]);
      if (why.empty()) why = all[k].remedy->excludes(all[k], all[i]);
      if (why.empty()) continue;
      problems.add(file, all[k].place.line,
                   fmt::format("\"{}\" here and \"{}\" on line {} contradict one another: {}", all[k].kind(),
                               all[i].kind(), all[i].place.line, why),
                   "changes that can be carried out together",
                   "keep one of them, or put the other into a set-up of its own");
    }
}

}  // namespace leverwright::case_file

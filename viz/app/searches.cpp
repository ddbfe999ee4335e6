#include "viz/app/searches.h"

#include "sim/base/error.h"
#include "viz/app/words.h"

namespace leverwright::app {

std::vector<search::Seek> find_searches(const case_file::CaseDescription& d, const std::string& name) {
  std::vector<search::Seek> all = search::read_seeks(d);
  if (all.empty())
    throw base::UserError({base::Problem{d.path, 0, "", "this case seeks nothing", "[[seek]] sections",
                                         "see models/handbook/seek.md"}});
  if (name.empty()) return all;
  std::vector<std::string> names;
  for (auto& one : all) {
    if (one.name == name) return {one};
    names.push_back(one.name);
  }
  throw unknown_word(d.path, "there is no search \"" + name + "\" in this case", name, names);
}

}  // namespace leverwright::app

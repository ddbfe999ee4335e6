#include "models/remedies/put_values.h"

#include <fmt/format.h>

#include "models/case_file/library.h"
#include "models/case_file/quantity.h"
#include "models/case_file/read_values.h"
#include "models/case_file/schema.h"

namespace leverwright::remedies {

using namespace case_file;

namespace {

bool is_below(const std::string& path, const std::string& section) {
  return path.compare(0, section.size() + 1, section + ".") == 0;
}

template <class Map>
void erase_below(Map& map, const std::string& section) {
  for (auto at = map.lower_bound(section + "."); at != map.end() && is_below(at->first, section);)
    at = map.erase(at);
}

}  // namespace

void read_library_values(const ChangeReader& r, const Node& node, bool part, const std::string& name,
                         Change& change) {
  const auto id = change.choices.find("id");
  if (name.empty() || id == change.choices.end()) return;
  Values values;
  const LibraryRequest request{r.models_directory, name, id->second, &r.file, node.find("id")->line};
  if (!(part ? read_part(request, values, r.problems) : read_material(request, values, r.problems))) return;
  for (const std::string& path : missing_below((part ? "" : "contact.") + name, values)) {
    FileText library_file;
    library_file.path =
        library_path(r.models_directory, part ? "parts" : "materials", id->second, r.file.path);
    r.problems.add(library_file, 0, fmt::format("this file lacks \"{}\"", path.substr(path.rfind('.') + 1)),
                   "every required key, since it replaces a whole part", "add it there");
  }
  change.quantities.insert(values.quantities.begin(), values.quantities.end());
  change.choices.insert(values.choices.begin(), values.choices.end());
  change.point_lists.insert(values.point_lists.begin(), values.point_lists.end());
}

void clear_section(CaseDescription& d, const std::string& section) {
  erase_below(d.quantities, section);
  erase_below(d.choices, section);
  erase_below(d.point_lists, section);
  for (const auto& [path, spec] : schema().keys) {
    if (spec.presence != Presence::kDefault || !is_below(path, section)) continue;
    Quantity q = std::get<Quantity>(read_quantity(spec.default_text, spec.dimension, spec.default_sigma));
    q.source = spec.source;
    q.from_default = true;
    d.quantities[path] = q;
  }
  for (const auto& [path, spec] : schema().choices)
    if (spec.presence == Presence::kDefault && is_below(path, section)) d.choices[path] = spec.default_word;
}

void put_values(CaseDescription& d, const Change& change) {
  for (const auto& [path, q] : change.quantities)
    if (is_known_path(path)) d.quantities[path] = q;
  for (const auto& [path, word] : change.choices)
    if (is_known_path(path)) d.choices[path] = word;
  for (const auto& [path, list] : change.point_lists) d.point_lists[path] = list;
}

void replace_material(CaseDescription& d, const Change& change, const std::string& place) {
  clear_section(d, "contact." + place);
  d.choices["materials." + place] = change.choices.at("id");
  put_values(d, change);
}

void replace_one(CaseDescription& d, const Change& change, const std::string& amount,
                 const std::string& path) {
  const auto given = change.quantities.find(amount);
  if (given != change.quantities.end()) d.quantities[path] = given->second;
}

}  // namespace leverwright::remedies

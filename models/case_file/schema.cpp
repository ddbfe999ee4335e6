#include "models/case_file/schema.h"

#include <fmt/format.h>

#include <cassert>

namespace leverwright::case_file {

namespace {

template <class Row>
void add_rows(std::map<std::string, Row>& table, std::vector<Row> rows) {
  for (Row& row : rows) {
    const std::string path = row.path;
    const bool is_new = table.emplace(path, std::move(row)).second;
    assert(is_new && "two schema rows for one path");
    (void)is_new;
  }
}

// "contact.*.friction" becomes one row per place; a row that names its place wins over the general one.
template <class Row>
std::vector<Row> for_every_place(const std::vector<Row>& rows, const std::vector<PlaceSpec>& places) {
  std::map<std::string, Row> out;
  for (const Row& row : rows)
    if (row.path.find('*') == std::string::npos) out.emplace(row.path, row);
  for (const Row& row : rows) {
    const std::size_t star = row.path.find('*');
    if (star == std::string::npos) continue;
    for (const PlaceSpec& place : places) {
      Row copy = row;
      copy.path.replace(star, 1, place.name);
      out.emplace(copy.path, copy);
    }
  }
  std::vector<Row> list;
  for (auto& [path, row] : out) list.push_back(std::move(row));
  return list;
}

Schema build() {
  Schema s;
  s.slots = part_slots();
  s.places = contact_places();
  s.required_when = regulation_required_when();
  add_rows(s.keys, measured_keys());
  add_rows(s.keys, regulation_keys());
  add_rows(s.keys, target_keys());
  add_rows(s.keys, part_keys());
  add_rows(s.keys, option_keys());
  add_rows(s.keys, key_option_keys());
  add_rows(s.keys, for_every_place(contact_keys(), s.places));
  add_rows(s.choices, measured_choices());
  add_rows(s.choices, regulation_choices());
  add_rows(s.choices, part_choices());
  add_rows(s.choices, option_choices());
  add_rows(s.choices, key_option_choices());
  add_rows(s.point_lists, part_point_lists());
  add_rows(s.point_lists, for_every_place(contact_point_lists(), s.places));
  return s;
}

template <class Row>
const Row* find_in(const std::map<std::string, Row>& table, const std::string& path) {
  const auto found = table.find(path);
  return found == table.end() ? nullptr : &found->second;
}

template <class Row>
bool any_below(const std::map<std::string, Row>& table, const std::string& section) {
  const auto at = table.lower_bound(section + ".");
  return at != table.end() && at->first.compare(0, section.size() + 1, section + ".") == 0;
}

}  // namespace

const KeySpec* Schema::find_key(const std::string& path) const { return find_in(keys, path); }
const ChoiceSpec* Schema::find_choice(const std::string& path) const { return find_in(choices, path); }
const PointListSpec* Schema::find_point_list(const std::string& path) const {
  return find_in(point_lists, path);
}

std::string labour_words(const Labour& labour) {
  if (labour.hours_high <= 0) return "not known";
  return fmt::format("{:g} to {:g} h for 88 notes, {}", labour.hours_low, labour.hours_high,
                     labour.per == "note" ? "note by note" : "the whole set at once");
}

bool Schema::has_slot(const std::string& name) const {
  for (const SlotSpec& slot : slots)
    if (slot.name == name) return true;
  return false;
}

bool Schema::has_place(const std::string& name) const {
  for (const PlaceSpec& place : places)
    if (place.name == name) return true;
  return false;
}

bool Schema::has_section(const std::string& path) const {
  return any_below(keys, path) || any_below(choices, path) || any_below(point_lists, path);
}

std::vector<std::string> Schema::all_paths() const {
  std::vector<std::string> paths;
  for (const auto& row : keys) paths.push_back(row.first);
  for (const auto& row : choices) paths.push_back(row.first);
  for (const auto& row : point_lists) paths.push_back(row.first);
  return paths;
}

const Schema& schema() {
  static const Schema the_schema = build();
  return the_schema;
}

}  // namespace leverwright::case_file

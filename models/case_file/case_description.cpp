#include "models/case_file/case_description.h"

#include <stdexcept>

#include "models/case_file/remedy.h"

namespace leverwright::case_file {

namespace {
template <class Row>
const Row& get(const std::map<std::string, Row>& table, const std::string& key) {
  const auto found = table.find(key);
  if (found == table.end())  // kept in release builds: a silent zero would be worse
    throw std::logic_error("no key \"" + key + "\" in this case; ask has() first for optional ones");
  return found->second;
}
}  // namespace

const std::string& Change::kind() const { return remedy->row.kind; }

double Change::amount_or(const std::string& name, double otherwise) const {
  const auto found = quantities.find(name);
  return found == quantities.end() ? otherwise : found->second.value;
}

std::string Change::word(const std::string& argument) const {
  const auto found = choices.find(argument);
  return found == choices.end() ? "" : found->second;
}

bool Change::says(const std::string& argument, const std::string& given) const {
  const auto found = choices.find(argument);
  return found != choices.end() && found->second == given;
}

double CaseDescription::value(const std::string& key) const { return quantity(key).value; }
const Quantity& CaseDescription::quantity(const std::string& key) const { return get(quantities, key); }
const std::string& CaseDescription::choice(const std::string& key) const { return get(choices, key); }
const PointList& CaseDescription::point_list(const std::string& key) const { return get(point_lists, key); }

bool CaseDescription::has(const std::string& key) const {
  return quantities.count(key) != 0 || choices.count(key) != 0 || point_lists.count(key) != 0;
}

}  // namespace leverwright::case_file

// The unit words of case files. One table row per word.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::case_file {

struct Unit {
  const char* word;  // normalised: single blanks, no "^" or dots, "2" and "3" for squared and cubed
  Dimension dimension;
  double si;  // SI value of one
};

const std::vector<Unit>& unit_table();

// "g/cm³" -> "g/cm3", "N·m" -> "N m", "Nm" -> "N m".
std::string normalise_unit(std::string_view written);
const Unit* find_unit(const std::string& normalised);

// A sentence for unit words people write that are not understood here ("in", "oz", "grams"); "" when unknown.
std::string hint_for_unit(const std::string& normalised);

}  // namespace leverwright::case_file

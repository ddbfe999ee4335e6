// A number of the results file without uncertainty, change or verdict.
#pragma once
#include <string>

#include "sim/store/study_writer.h"

namespace leverwright::study {

// `value` in `unit` (SI); `shown`: the unit a person reads.
inline store::Number plain_number(const std::string& name, double value, const std::string& unit,
                                  const std::string& shown, const std::string& what) {
  store::Number n;
  n.name = name;
  n.value = value;
  n.unit = unit;
  n.display_unit = shown;
  n.description = what;
  return n;
}

}  // namespace leverwright::study

// What a person writes at the bench in the units a case understands: inches and their fractions as mm, ounces as gf
// where a scale is read and as g where a mass is meant. All else stays as it was written.
//
//   4 7/16 in          112.7125 mm            4-7/16", 4.4375 inches: the same
//   5 1/8 in +- 1/64 in, 4 to 4 1/2 in        a number without a unit goes with the one that has one
//   0.34 oz            9.638838 gf or g
//
// 1 in = 25.4 mm and 1 oz = 28.349523125 g exactly (the international inch and avoirdupois pound of 1959).
#pragma once
#include <string>

#include "models/case_file/case_description.h"

namespace leverwright::workshop {

std::string in_case_units(const std::string& written, case_file::Dimension dimension);

// A unit stands behind the last number: "112.5 mm", "4 %"; not "112.5", "112.5 +- 0.25".
bool ends_in_unit(const std::string& written);

}  // namespace leverwright::workshop

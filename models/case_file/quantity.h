// How a quantity is written in a case, part or material file, and how it is printed again.
//
//   66.5 mm +- 0.5 mm     measured; +- (or the plus-minus sign) is one standard deviation
//   66.5 +- 0.5 mm        the same: a number without a unit takes the unit of the one after it
//   66.5 mm +- 2 %        the same, in per cent of the value
//   66.5 mm               measured, with the schema's usual uncertainty; exact where the schema has none
//   66.5 mm +- 0          exact
//   0.15 to 0.3           estimate, uniform over the range; the middle is used
//   0.22 (0.15 to 0.3)    estimate with a nominal value inside the range
//   3 gf +- 0.5 gf at 23 mm, 1e-3 N m     a torque: force at a radius, or as such
//
// g is a mass and gf a weight (a force); where the other is due this is an error that says so.
#pragma once
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::case_file {

struct QuantityFault {
  std::string what;      // what is wrong
  std::string expected;  // an example of what was expected
  std::string advice;    // what to do
};

using QuantityResult = std::variant<Quantity, QuantityFault>;

// Reads `text` as a quantity of this dimension. `default_sigma` ("0.5 mm", "10 %" or "") applies when the
// text gives no uncertainty; `range` ("100 to 125 mm" or "") is everything plausible. Place and source stay
// empty.
QuantityResult read_quantity(std::string_view text, Dimension dimension,
                             const std::string& default_sigma = "", const std::string& range = "");

// The range's ends in SI; a programmer error when the text is not a range of this dimension.
struct Range {
  double low = 0, high = 0;
};
Range read_range(const std::string& text, Dimension dimension);

// The unit a person expects for this dimension ("mm", "gf", "gf at 23 mm"); "" for plain numbers.
std::string trade_unit(Dimension dimension);
// In words for messages: "a length", "a weight", "a friction torque".
std::string dimension_words(Dimension dimension);
// SI value of one trade unit (torque: of 1 N m).
double trade_unit_in_si(Dimension dimension);

// Printed so that read_quantity returns the same value and uncertainty (to 12 digits).
std::string write_quantity(const Quantity& quantity);

// All unit words understood for this dimension, for messages and the handbook.
std::vector<std::string> units_of(Dimension dimension);

}  // namespace leverwright::case_file

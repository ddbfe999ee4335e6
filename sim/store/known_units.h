// The units a results file may use: the SI unit a number is stored in and the unit a person reads it in.
//
//   displayed number = stored number * display_factor,   display_factor = 1 / size of the display unit in SI
//
// Besides true units three words are known: "1" (a plain number), "text" (strings) and "per row" / "per
// column" (the unit stands beside each row of a table, or in the column attributes of a 2-D dataset).
#pragma once
#include <string>

namespace leverwright::store {

struct KnownUnit {
  std::string name;  // "mm"
  std::string si;    // "m"
  double size;       // one mm is 1e-3 m
};

// nullptr when there is no such unit.
const KnownUnit* find_unit(const std::string& name);

// True when numbers may be stored in it: its size is 1 and it is its own SI unit.
bool is_stored_unit(const std::string& name);

// Factor from the stored to the displayed number; 0 when either is unknown or they measure different things.
double display_factor(const std::string& unit, const std::string& display_unit);

// "gf, kgf, N, mN" for "N": what a message offers.
std::string known_display_units(const std::string& unit);

}  // namespace leverwright::store

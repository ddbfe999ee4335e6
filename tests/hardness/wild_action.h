// Random actions and set-ups within and beyond what a piano can be, as a case file could state them.
//
//   usual      draw_action (tests/support/random_action.h): bench quantities within their usual ranges, parts placed
//   stretched  a usual action with one to four values anywhere in the range the case reader lets pass
//   wild       the model's parts and measurements with one to twelve values anywhere in that range
//   outside    a stretched or wild action with one value up to a fifth of the range's width beyond its end
// The policy of regulation and the cap's shape are drawn as well. What the reader says of each value and of the
// whole is asked of the reader itself.
#pragma once
#include <random>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::hardness {

enum class Kind { kUsual, kStretched, kWild, kOutside, kKindCount };
const char* name_of(Kind kind);

struct WildAction {
  Kind kind = Kind::kUsual;
  case_file::CaseDescription description;  // one set-up, the base
  std::vector<std::string> moved;          // keys of the values drawn
};

// `model`: a complete case whose parts serve as shapes.
WildAction draw_wild(const case_file::CaseDescription& model, std::mt19937_64& engine);

// Changes with arguments anywhere in their ranges, as further set-ups; kinds that name a file or a key are left out.
void add_wild_set_ups(case_file::CaseDescription& description, int count, std::mt19937_64& engine);

// What the case reader says against it, its first problem; "" when it lets it pass.
std::string refusal_of_reader(WildAction& action);

}  // namespace leverwright::hardness

// What is looked at before the TOML library sees a text: whatever would make it run out of stack, or rely on
// something that is not so.
#pragma once
#include <string>

namespace leverwright::case_file {

struct FormFault {
  int line = 0;  // 0: none
  std::string what, expected, advice;
};

// The first of: a control character, a heading that begins with no key, keys or brackets nested too deep.
FormFault find_form_fault(const std::string& text);

inline constexpr int kDeepestKey = 16;       // a.b.c has 2 dots
inline constexpr int kDeepestBrackets = 32;  // [[1, 2], [3, 4]] has 2

}  // namespace leverwright::case_file

// Small things done to words.
#pragma once
#include <algorithm>
#include <cctype>
#include <string>

namespace leverwright::base {

inline bool ends_with(const std::string& text, const std::string& tail) {
  return text.size() >= tail.size() && text.compare(text.size() - tail.size(), tail.size(), tail) == 0;
}

// Of ASCII letters; all else stays.
inline std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

}  // namespace leverwright::base

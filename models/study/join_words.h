// Words in a row as a sentence has them: "a", "a and b", "a, b and c".
#pragma once
#include <string>
#include <vector>

namespace leverwright::study {

inline std::string join_words(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t k = 0; k < words.size(); ++k)
    out += (k == 0 ? "" : k + 1 == words.size() ? " and " : ", ") + words[k];
  return out;
}

}  // namespace leverwright::study

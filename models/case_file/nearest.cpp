#include "models/case_file/nearest.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>

#include "sim/base/words.h"

namespace leverwright::case_file {

int edit_distance(const std::string& a_in, const std::string& b_in) {
  const std::string a = base::lower(a_in), b = base::lower(b_in);
  const std::size_t n = a.size(), m = b.size();
  // Three rows of the table of distances between beginnings of a and of b.
  std::vector<int> before(m + 1), last(m + 1), row(m + 1);
  for (std::size_t j = 0; j <= m; ++j) last[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= n; ++i) {
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= m; ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, row);
  }
  return last[m];
}

std::string nearest_word(const std::string& written, const std::vector<std::string>& known) {
  constexpr std::size_t kLongest = 80;  // letters of anything a case may hold
  std::string best;
  if (written.size() > kLongest) return best;
  int best_distance = std::max(1, static_cast<int>(written.size()) / 3) + 1;
  for (const std::string& word : known) {
    const auto apart = static_cast<int>(word.size()) - static_cast<int>(written.size());
    if (std::abs(apart) >= best_distance) continue;
    const int distance = edit_distance(written, word);
    if (distance < best_distance) {
      best_distance = distance;
      best = word;
    }
  }
  return best;
}

}  // namespace leverwright::case_file

#include "models/case_file/nearest.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>

#include "sim/base/words.h"

namespace leverwright::case_file {

namespace {

// No fewer steps than letters that one word has more of than the other: a step takes one away, adds one or changes one,
// and two that change places are the same two. Most words of a list are out by this alone.
int least_distance(const std::string& a, const std::string& b) {
  std::array<int, 32> more{};  // large and small letters share one; what else does can only lessen the answer
  for (const char c : a) ++more[static_cast<unsigned char>(c) % 32];
  for (const char c : b) --more[static_cast<unsigned char>(c) % 32];
  int gone = 0, come = 0;
  for (const int n : more) (n > 0 ? gone : come) += std::abs(n);
  return std::max(gone, come);
}

// The distance of two words in small letters, or `limit` when it is that or more: cells further than that from the
// diagonal cannot lie on a shorter way, and two rows of such cells end it.
int bounded_distance(const std::string& a, const std::string& b, int limit) {
  const int n = static_cast<int>(a.size()), m = static_cast<int>(b.size());
  if (std::abs(n - m) >= limit) return limit;
  // Three rows of the table of distances between beginnings of a and of b.
  static thread_local std::vector<int> before, last, row;
  for (auto* r : {&before, &last, &row}) r->assign(b.size() + 2, limit);
  for (int j = 0; j <= std::min(m, limit); ++j) last[j] = j;
  bool last_over = false;
  for (int i = 1; i <= n; ++i) {
    const int from = std::max(1, i - limit), to = std::min(m, i + limit);
    row[from - 1] = from == 1 ? std::min(i, limit) : limit;
    int least = row[from - 1];
    for (int j = from; j <= to; ++j) {
      int here = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        here = std::min(here, before[j - 2] + 1);
      row[j] = here;
      least = std::min(least, here);
    }
    row[to + 1] = limit;  // what an earlier row left there
    if (least >= limit && last_over) return limit;
    last_over = least >= limit;
    std::swap(before, last);
    std::swap(last, row);
  }
  return std::min(last[m], limit);
}

}  // namespace

int edit_distance(const std::string& a, const std::string& b) {
  return bounded_distance(base::lower(a), base::lower(b), static_cast<int>(std::max(a.size(), b.size())) + 1);
}

std::string nearest_word(const std::string& written, const std::vector<std::string>& known) {
  constexpr std::size_t kLongest = 80;  // letters of anything a case may hold
  std::string best;
  if (written.size() > kLongest) return best;
  const std::string small = base::lower(written);
  int best_distance = std::max(1, static_cast<int>(written.size()) / 3) + 1;
  for (const std::string& word : known) {
    if (least_distance(small, word) >= best_distance) continue;
    const int distance = bounded_distance(small, base::lower(word), best_distance);
    if (distance < best_distance) {
      best_distance = distance;
      best = word;
    }
  }
  return best;
}

}  // namespace leverwright::case_file

#include "models/keyboard/capstan_line.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

namespace leverwright::keyboard {

namespace {

struct Straight {
  double a = 0, b = 0;  // place at index 0 and its growth per note
};
using Fit = std::function<Straight(std::size_t from, std::size_t to)>;  // to: one past the last

Straight least_squares(const std::vector<double>& s, const std::vector<double>& w, std::size_t from,
                       std::size_t to) {
  double sum = 0, x = 0, y = 0;
  for (std::size_t i = from; i < to; ++i) {
    if (std::isnan(s[i])) continue;
    sum += w[i];
    x += w[i] * static_cast<double>(i);
    y += w[i] * s[i];
  }
  x /= sum;
  y /= sum;
  double xx = 0, xy = 0;
  for (std::size_t i = from; i < to; ++i) {
    if (std::isnan(s[i])) continue;
    const double d = static_cast<double>(i) - x;
    xx += w[i] * d * d;
    xy += w[i] * d * (s[i] - y);
  }
  const double b = xx > 0 ? xy / xx : 0;
  return {y - b * x, b};
}

Straight least_worst(const std::vector<double>& s, std::size_t from, std::size_t to) {
  Straight best;
  double least = std::numeric_limits<double>::infinity();
  const auto attempt = [&](double b) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (std::size_t i = from; i < to; ++i) {
      const double r = s[i] - b * static_cast<double>(i);
      if (std::isnan(r)) continue;
      low = std::min(low, r);
      high = std::max(high, r);
    }
    if (high - low < least) {
      least = high - low;
      best = {0.5 * (low + high), b};
    }
  };
  attempt(0);
  for (std::size_t i = from; i < to; ++i)
    for (std::size_t k = i + 1; k < to; ++k)
      if (!std::isnan(s[k] - s[i])) attempt((s[k] - s[i]) / static_cast<double>(k - i));
  return best;
}

CapstanLine draw(const std::vector<double>& s, int break_after, const Fit& fit) {
  CapstanLine out;
  out.place.resize(s.size());
  const auto count = static_cast<int>(s.size());
  std::vector<std::pair<int, int>> parts;
  if (break_after > 0 && break_after < count)
    parts = {{0, break_after}, {break_after, count}};
  else
    parts = {{0, count}};
  for (const auto& [from, to] : parts) {
    const Straight line = fit(static_cast<std::size_t>(from), static_cast<std::size_t>(to));
    for (int i = from; i < to; ++i) out.place[static_cast<std::size_t>(i)] = line.a + line.b * i;
    out.sections.push_back({from + 1, to, line.a + line.b * from, line.a + line.b * (to - 1)});
  }
  double squares = 0;
  int known = 0;
  for (std::size_t i = 0; i < s.size(); ++i) {
    out.miss.push_back(out.place[i] - s[i]);
    if (std::isnan(out.miss[i])) continue;
    ++known;
    squares += out.miss[i] * out.miss[i];
    if (std::abs(out.miss[i]) > out.worst) {
      out.worst = std::abs(out.miss[i]);
      out.worst_note = static_cast<int>(i) + 1;
    }
  }
  out.rms = std::sqrt(squares / known);
  return out;
}

}  // namespace

CapstanLine fit_least_squares(const std::vector<double>& s, const std::vector<double>& w, int break_after) {
  return draw(s, break_after,
              [&](std::size_t from, std::size_t to) { return least_squares(s, w, from, to); });
}

CapstanLine fit_least_worst(const std::vector<double>& s, int break_after) {
  return draw(s, break_after, [&](std::size_t from, std::size_t to) { return least_worst(s, from, to); });
}

int seek_break_least_squares(const std::vector<double>& s, const std::vector<double>& w) {
  int best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (int k = kLeastSection; k + kLeastSection <= static_cast<int>(s.size()); ++k) {
    const CapstanLine line = fit_least_squares(s, w, k);
    double sum = 0;
    for (std::size_t i = 0; i < s.size(); ++i)
      if (!std::isnan(line.miss[i])) sum += w[i] * line.miss[i] * line.miss[i];
    if (sum < least) {
      least = sum;
      best = k;
    }
  }
  return best;
}

}  // namespace leverwright::keyboard

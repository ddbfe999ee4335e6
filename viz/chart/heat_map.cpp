#include "viz/chart/heat_map.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <list>

namespace leverwright::chart {
namespace {

struct End {
  double x = 0, y = 0;
};
using Piece = std::pair<End, End>;

bool same(const End& a, const End& b) { return a.x == b.x && a.y == b.y; }

// Where the level crosses the edge between two corners. Both cells of an edge call it with the corners in
// the same order, so that the ends are the same numbers.
End cross(const End& a, double va, const End& b, double vb, double level) {
  const double t = (level - va) / (vb - va);
  return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

// Pieces of one cell; corners anticlockwise from the lower left.
void add_cell(const End (&c)[4], const double (&v)[4], double level, std::vector<Piece>* out) {
  const auto edge = [&](int k) {  // lower, right, upper, left, each from lower or left corner
    static const int kFrom[] = {0, 1, 3, 0}, kTo[] = {1, 2, 2, 3};
    return cross(c[kFrom[k]], v[kFrom[k]], c[kTo[k]], v[kTo[k]], level);
  };
  int above = 0;
  for (int k = 0; k < 4; ++k) above |= (v[k] >= level ? 1 : 0) << k;
  const bool middle_above = 0.25 * (v[0] + v[1] + v[2] + v[3]) >= level;
  const auto add = [&](int a, int b) { out->push_back({edge(a), edge(b)}); };
  switch (above) {
    case 1:
    case 14:
      add(3, 0);
      break;
    case 2:
    case 13:
      add(0, 1);
      break;
    case 4:
    case 11:
      add(1, 2);
      break;
    case 8:
    case 7:
      add(2, 3);
      break;
    case 3:
    case 12:
      add(3, 1);
      break;
    case 6:
    case 9:
      add(0, 2);
      break;
    case 5:  // lower left and upper right above
      add(middle_above ? 0 : 3, middle_above ? 1 : 0);
      add(middle_above ? 2 : 1, middle_above ? 3 : 2);
      break;
    case 10:
      add(middle_above ? 3 : 0, middle_above ? 0 : 1);
      add(middle_above ? 1 : 2, middle_above ? 2 : 3);
      break;
    default:
      break;
  }
}

}  // namespace

std::vector<double> find_edges(const std::vector<double>& middles) {
  const size_t n = middles.size();
  if (n == 0) return {};
  if (n == 1) return {middles[0] - 0.5, middles[0] + 0.5};
  std::vector<double> out{middles[0] - 0.5 * (middles[1] - middles[0])};
  for (size_t k = 0; k + 1 < n; ++k) out.push_back(0.5 * (middles[k] + middles[k + 1]));
  out.push_back(middles[n - 1] + 0.5 * (middles[n - 1] - middles[n - 2]));
  return out;
}

Range find_colour_range(const Chart& chart) {
  double low = INFINITY, high = -INFINITY, asked_low = kAuto, asked_high = kAuto;
  for (const Panel& p : chart.panels) {
    if (!p.map) continue;
    for (const double v : p.map->values)
      if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
    if (std::isfinite(p.map->low)) asked_low = p.map->low;
    if (std::isfinite(p.map->high)) asked_high = p.map->high;
  }
  Range r = low <= high ? round_range(low, high) : Range{};
  if (std::isfinite(asked_low)) r.low = asked_low;
  if (std::isfinite(asked_high)) r.high = asked_high;
  if (!(r.high > r.low)) r.high = r.low + 1;
  return r;
}

std::vector<ContourLine> find_contours(const HeatMap& map, double level) {
  const size_t nx = map.x.size(), ny = map.y.size();
  std::vector<Piece> pieces;
  for (size_t j = 0; j + 1 < ny; ++j)
    for (size_t i = 0; i + 1 < nx; ++i) {
      const End c[4] = {{map.x[i], map.y[j]},
                        {map.x[i + 1], map.y[j]},
                        {map.x[i + 1], map.y[j + 1]},
                        {map.x[i], map.y[j + 1]}};
      const double v[4] = {map.values[j * nx + i], map.values[j * nx + i + 1],
                           map.values[(j + 1) * nx + i + 1], map.values[(j + 1) * nx + i]};
      if (std::all_of(std::begin(v), std::end(v), [](double a) { return std::isfinite(a); }))
        add_cell(c, v, level, &pieces);
    }
  std::vector<ContourLine> out;
  while (!pieces.empty()) {
    std::deque<End> line{pieces.back().first, pieces.back().second};
    pieces.pop_back();
    for (bool grown = true; grown;) {
      grown = false;
      for (size_t k = 0; k < pieces.size(); ++k) {
        const auto [a, b] = pieces[k];
        if (same(a, line.back()))
          line.push_back(b);
        else if (same(b, line.back()))
          line.push_back(a);
        else if (same(a, line.front()))
          line.push_front(b);
        else if (same(b, line.front()))
          line.push_front(a);
        else
          continue;
        pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(k));
        grown = true;
        break;
      }
    }
    ContourLine joined;
    for (const End& e : line) joined.x.push_back(e.x), joined.y.push_back(e.y);
    out.push_back(std::move(joined));
  }
  return out;
}

}  // namespace leverwright::chart

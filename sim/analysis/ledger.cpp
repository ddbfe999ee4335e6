#include "sim/analysis/ledger.h"

#include <cassert>
#include <cmath>

namespace leverwright::analysis {

FrictionLedger find_ledger(const run::Mechanism& m, const run::StaticSample& down,
                           const run::StaticSample& up) {
  assert(down.direction > 0 && up.direction < 0);
  FrictionLedger out;
  out.travel = down.travel;
  const std::size_t groups = m.groups().size();
  for (std::size_t g = 0; g < groups; ++g)
    out.rows.push_back({m.groups()[g], LedgerKind::kFriction, static_cast<int>(g)});
  for (std::size_t g = 0; g < groups; ++g)
    out.rows.push_back({m.groups()[g], LedgerKind::kCloth, static_cast<int>(g)});
  for (std::size_t p = 0; p < m.pivots.size(); ++p)
    out.rows.push_back({m.pivots[p].name, LedgerKind::kPivot, static_cast<int>(p)});
  out.rows.push_back({"stored energy", LedgerKind::kStored});
  const auto fill = [&](const run::StaticSample& s, double LedgerRow::*side) {
    for (std::size_t i = 0; i < m.contacts.size(); ++i) {
      const auto g = static_cast<std::size_t>(m.group_of(static_cast<int>(i)));
      out.rows[g].*side += s.ledger.friction[i];
      out.rows[groups + g].*side += s.ledger.cloth[i];
    }
    for (std::size_t i = 0; i < m.pivots.size(); ++i) out.rows[2 * groups + i].*side += s.ledger.pivot[i];
    out.rows.back().*side = s.ledger.stored;
  };
  fill(down, &LedgerRow::down);
  fill(up, &LedgerRow::up);
  for (LedgerRow& row : out.rows) {
    row.amount = row.kind == LedgerKind::kStored ? 0.5 * (row.down - row.up) : 0.5 * (row.down + row.up);
    out.sum += row.amount;
  }
  out.half_difference = 0.5 * (down.force - up.force);
  out.misfit = (out.sum - out.half_difference) / std::abs(out.half_difference);
  return out;
}

FrictionLedger find_mean_ledger(const run::Mechanism& m, const std::vector<run::StaticSample>& down,
                                const std::vector<run::StaticSample>& up, double from, double to) {
  constexpr double kRound = 1e-9;  // [m] a sample on the window's edge belongs to it
  FrictionLedger out;
  double length = 0;
  const auto add = [&](const FrictionLedger& l, double weight) {
    if (out.rows.empty()) {
      out.rows = l.rows;
      for (LedgerRow& row : out.rows) row.down = row.up = row.amount = 0;
    }
    for (std::size_t k = 0; k < l.rows.size(); ++k) {
      out.rows[k].down += weight * l.rows[k].down;
      out.rows[k].up += weight * l.rows[k].up;
      out.rows[k].amount += weight * l.rows[k].amount;
    }
    out.sum += weight * l.sum;
    out.half_difference += weight * l.half_difference;
    length += weight;
  };
  const auto inside = [&](double travel) { return travel >= from - kRound && travel <= to + kRound; };
  for (std::size_t k = 0; k < down.size() && k < up.size(); ++k) {
    if (!inside(down[k].travel)) continue;
    double weight = 0;  // half of the intervals on either side that lie in the window
    if (k > 0 && inside(down[k - 1].travel)) weight += 0.5 * (down[k].travel - down[k - 1].travel);
    if (k + 1 < down.size() && k + 1 < up.size() && inside(down[k + 1].travel))
      weight += 0.5 * (down[k + 1].travel - down[k].travel);
    if (weight > 0) add(find_ledger(m, down[k], up[k]), weight);
  }
  if (!(length > 0)) return {};
  for (LedgerRow& row : out.rows) {
    row.down /= length;
    row.up /= length;
    row.amount /= length;
  }
  out.travel = 0.5 * (from + to);
  out.sum /= length;
  out.half_difference /= length;
  out.misfit = (out.sum - out.half_difference) / std::abs(out.half_difference);
  return out;
}

double friction_of_group(const FrictionLedger& l, int group) {
  for (const LedgerRow& row : l.rows)
    if (row.kind == LedgerKind::kFriction && row.of == group) return row.amount;
  return 0;
}

}  // namespace leverwright::analysis

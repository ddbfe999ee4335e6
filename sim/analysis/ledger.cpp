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
  for (std::size_t g = 0; g < groups; ++g) out.rows.push_back({m.groups()[g], LedgerKind::kFriction});
  for (std::size_t g = 0; g < groups; ++g) out.rows.push_back({m.groups()[g], LedgerKind::kCloth});
  for (const auto& p : m.pivots) out.rows.push_back({p.name, LedgerKind::kPivot});
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

}  // namespace leverwright::analysis

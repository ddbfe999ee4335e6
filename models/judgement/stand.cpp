#include "models/judgement/stand.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace leverwright::judgement {

namespace {

constexpr double kTie = 1e-9;                             // of loss: rounding
constexpr double kUnknownFrom = 0.25, kUnknownTo = 0.75;  // odds between which nothing is known

const Move* move_of(const Note& note, std::size_t move) { return &note.moves[move]; }

Doubtful base_after(const Note& note, const Move* move, std::size_t k) {
  return move == nullptr || k >= move->change.size() ? note.base[k] : sum_of(note.base[k], move->change[k]);
}

}  // namespace

Doubtful sum_of(const Doubtful& base, const Doubtful& change) {
  if (!std::isfinite(change.value)) return base;
  Doubtful out = base;
  out.value += change.value;
  if (out.per_doubt.size() < change.per_doubt.size()) out.per_doubt.resize(change.per_doubt.size(), 0.0);
  for (std::size_t i = 0; i < change.per_doubt.size(); ++i) out.per_doubt[i] += change.per_doubt[i];
  return out;
}

Question after(const Question& q, std::size_t move) {
  Question out = q;
  for (Note& note : out.notes)
    for (std::size_t k = 0; k < q.measures.size(); ++k)
      if (!q.measures[k].is_margin) note.base[k] = sum_of(note.base[k], note.moves[move].change[k]);
  return out;
}

bool is_judged(const Measure& m, const Doubtful& base) {
  return m.noticeable > 0 && std::isfinite(base.value) &&
         (std::isfinite(m.wanted.low) || std::isfinite(m.wanted.high));
}

double mean_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double share_gaining(const std::vector<double>& one, const std::vector<double>& other, double least) {
  double count = 0;
  for (std::size_t n = 0; n < one.size(); ++n) count += one[n] - other[n] >= least ? 1 : 0;
  return count / static_cast<double>(one.size());
}

void Stand::add_loss(const Note& note, const Move* move, std::vector<double>& all,
                     std::vector<double>& own) const {
  const auto notes = static_cast<double>(q_.notes.size());
  for (std::size_t k = 0; k < q_.measures.size(); ++k) {
    const Measure& m = q_.measures[k];
    if (!is_judged(m, note.base[k])) continue;
    const std::vector<double> x = draws_.of(base_after(note, move, k));
    for (std::size_t n = 0; n < x.size(); ++n) {
      const double part = m.wanted.distance(x[n]) / m.noticeable / notes;
      all[n] += part;
      if (m.wanted.own) own[n] += part;
    }
  }
}

Stand::Stand(const Question& q, const Draws& draws)
    : q_(q), draws_(draws), loss_(Draws::kCount, 0.0), own_(Draws::kCount, 0.0) {
  for (const Note& note : q_.notes) add_loss(note, nullptr, loss_, own_);
  for (std::size_t j = 0; j < q_.notes.front().moves.size(); ++j) {
    Tried t;
    t.loss.assign(Draws::kCount, 0.0);
    t.own.assign(Draws::kCount, 0.0);
    for (const Note& note : q_.notes) add_loss(note, move_of(note, j), t.loss, t.own);
    t.mean = mean_of(t.loss);
    t.gain = mean_of(loss_) - t.mean;
    const double better = share_gaining(loss_, t.loss, kTie), worse = share_gaining(t.loss, loss_, kTie);
    if (better + worse > 0) t.better = better / (better + worse);
    t.noticeably_better = share_gaining(loss_, t.loss, kLeastGain);
    tried_.push_back(std::move(t));
  }
}

double Stand::distance(std::size_t k) const {
  double far = 0;
  for (const Note& note : q_.notes)
    if (is_judged(q_.measures[k], note.base[k]))
      far = std::max(far, q_.measures[k].wanted.distance(note.base[k].value));
  return far;
}

bool Stand::is_wrong(std::size_t k) const { return distance(k) > q_.measures[k].noticeable; }

bool Stand::is_unknown(std::size_t k) const {
  const Measure& m = q_.measures[k];
  for (const Note& note : q_.notes) {
    if (!is_judged(m, note.base[k]) || sigma_of(note.base[k]) <= m.noticeable) continue;
    double off = 0;
    for (const double x : draws_.of(note.base[k])) off += m.wanted.distance(x) > m.noticeable ? 1 : 0;
    off /= static_cast<double>(Draws::kCount);
    if (off > kUnknownFrom && off < kUnknownTo) return true;
  }
  return false;
}

std::optional<std::size_t> Stand::friction() const {
  for (std::size_t k = 0; k < q_.measures.size(); ++k)
    if (q_.measures[k].is_friction) return k;
  return std::nullopt;
}

bool Stand::friction_is_high() const {
  const auto k = friction();
  return k && is_wrong(*k);
}

std::size_t Stand::worst_note() const {
  std::size_t worst = 0;
  double greatest = -1;
  for (std::size_t i = 0; i < q_.notes.size(); ++i) {
    double loss = 0;
    for (std::size_t k = 0; k < q_.measures.size(); ++k)
      if (is_judged(q_.measures[k], q_.notes[i].base[k]))
        loss += q_.measures[k].wanted.distance(q_.notes[i].base[k].value) / q_.measures[k].noticeable;
    if (loss > greatest) {
      greatest = loss;
      worst = i;
    }
  }
  return worst;
}

double Stand::gain_in(std::size_t k, std::size_t move) const {
  const Note& note = q_.notes[worst_note()];
  const Measure& m = q_.measures[k];
  if (!is_judged(m, note.base[k])) return 0;
  const auto before = draws_.of(note.base[k]), then = draws_.of(base_after(note, move_of(note, move), k));
  double gain = 0;
  for (std::size_t n = 0; n < before.size(); ++n)
    gain += m.wanted.distance(before[n]) - m.wanted.distance(then[n]);
  return gain / static_cast<double>(before.size()) / m.noticeable;
}

}  // namespace leverwright::judgement

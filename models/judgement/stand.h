// Losses of a question by draws: how far off the action stands, and what each move makes of it.
#pragma once
#include <optional>
#include <vector>

#include "models/judgement/draws.h"
#include "models/judgement/judge.h"

namespace leverwright::judgement {

struct Tried {                    // of one move
  std::vector<double> loss, own;  // per draw: of all judged measures, of those with the user's own target
  double mean = kUnknown;         // of loss
  double gain = kUnknown;         // mean, against nothing
  double better = kUnknown, noticeably_better = kUnknown;
};

// Value with what it is known from.
Doubtful sum_of(const Doubtful& base, const Doubtful& change);
bool is_judged(const Measure& measure, const Doubtful& base);
// The question once that move is done, as far as adding its changes tells.
Question after(const Question& question, std::size_t move);

class Stand {
 public:
  Stand(const Question& question, const Draws& draws);
  const Question& question() const { return q_; }
  const Draws& draws() const { return draws_; }
  const std::vector<double>& loss() const { return loss_; }
  const std::vector<double>& own() const { return own_; }
  const Tried& tried(std::size_t move) const { return tried_[move]; }
  // Off by more than can be noticed on some note, as the values stand.
  bool is_wrong(std::size_t measure) const;
  // Neither that nor the contrary is known (rule 6 of judge.h).
  bool is_unknown(std::size_t measure) const;
  bool friction_is_high() const;
  std::optional<std::size_t> friction() const;  // its place among the measures
  double distance(std::size_t measure) const;   // greatest over the notes, as the values stand
  std::size_t worst_note() const;               // greatest loss as the values stand
  // Of that measure on the worst note: loss taken off by the move in the mean.
  double gain_in(std::size_t measure, std::size_t move) const;

 private:
  void add_loss(const Note& note, const Move* move, std::vector<double>& all, std::vector<double>& own) const;
  const Question& q_;
  const Draws& draws_;
  std::vector<double> loss_, own_;
  std::vector<Tried> tried_;
};

// Share of draws in which one - other is at least `least`.
double share_gaining(const std::vector<double>& one, const std::vector<double>& other, double least);
double mean_of(const std::vector<double>& values);

}  // namespace leverwright::judgement

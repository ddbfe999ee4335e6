#include "models/judgement/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/judgement/choose.h"
#include "models/judgement/sentences.h"

namespace leverwright::judgement {

namespace {

constexpr double kTie = 1e-9;  // of a distance: rounding

Said say(const Draws& draws, const Measure& m, const Doubtful& base, const Doubtful& change, bool with_odds) {
  Said out;
  out.before = base.value;
  out.change = change.value;
  out.after = base.value + change.value;
  if (!std::isfinite(out.after)) return out;
  out.noticeable = m.noticeable > 0 && std::abs(change.value) >= m.noticeable;
  if (!with_odds) return out;
  const double sigma = sigma_of(change);
  out.low = change.value - 1.96 * sigma;
  out.high = change.value + 1.96 * sigma;
  if (!is_judged(m, base)) return out;
  const auto before = draws.of(base), after = draws.of(sum_of(base, change));
  double nearer = 0, farther = 0;
  for (std::size_t n = 0; n < before.size(); ++n) {
    const double d = m.wanted.distance(before[n]) - m.wanted.distance(after[n]);
    nearer += d > kTie ? 1 : 0;
    farther += d < -kTie ? 1 : 0;
  }
  if (nearer + farther > 0) out.nearer = nearer / (nearer + farther);
  double differs = (nearer + farther) / static_cast<double>(before.size());
  // A little outside the usual range, before and after: nobody would call it a loss or a gain.
  if (!m.wanted.own && std::max(m.wanted.distance(out.before), m.wanted.distance(out.after)) <= m.noticeable)
    differs = 0;
  out.word = word_for(out.nearer, differs, out.low, out.high, m);
  return out;
}

Word word_of_move(const JudgedMove& j) {
  bool better = false, worse = false, surely_better = false, surely_worse = false, unsure = false;
  bool small_better = false, small_worse = false;
  for (const auto& note : j.notes)
    for (const Said& s : note) {
      const bool up = s.word == Word::kBetter || s.word == Word::kProbablyBetter;
      const bool down = s.word == Word::kWorse || s.word == Word::kProbablyWorse;
      (s.noticeable ? better : small_better) |= up;
      (s.noticeable ? worse : small_worse) |= down;
      surely_better |= s.word == Word::kBetter && s.noticeable;
      surely_worse |= s.word == Word::kWorse && s.noticeable;
      unsure |= s.word == Word::kCannotTell;
    }
  if (better && worse) return Word::kTradeOff;
  if (better) return surely_better ? Word::kBetter : Word::kProbablyBetter;
  if (worse) return surely_worse ? Word::kWorse : Word::kProbablyWorse;
  if (small_better && small_worse) return Word::kCannotTell;
  if (small_better) return Word::kProbablyBetter;
  if (small_worse) return Word::kProbablyWorse;
  return unsure ? Word::kCannotTell : Word::kNoChange;
}

std::vector<JudgedMove> judge_moves(const Question& q, const Draws& draws) {
  std::vector<JudgedMove> out;
  for (std::size_t j = 0; j < q.notes.front().moves.size(); ++j) {
    JudgedMove one;
    one.name = q.notes.front().moves[j].name;
    one.undone = q.notes.front().moves[j].undone;
    for (const Note& note : q.notes) {
      one.notes.emplace_back();
      for (std::size_t k = 0; k < q.measures.size(); ++k)
        one.notes.back().push_back(
            say(draws, q.measures[k], note.base[k], note.moves[j].change[k], q.with_odds));
    }
    if (q.with_odds) one.word = word_of_move(one);
    out.push_back(std::move(one));
  }
  return out;
}

void put_losses(const Stand& stand, std::vector<JudgedMove>& moves) {
  for (std::size_t j = 0; j < moves.size(); ++j) {
    const Tried& t = stand.tried(j);
    moves[j].loss = t.mean;
    moves[j].gain = t.gain;
    moves[j].better = t.better;
    moves[j].noticeably_better = t.noticeably_better;
  }
}

void add_cautions(const Question& q, const std::vector<JudgedMove>& moves, const Choice& first, Advice& a) {
  const auto name = [&](int j) { return moves[static_cast<std::size_t>(j)].name; };
  for (const Stage& stage : a.stages)
    if (stage.decision == Decision::kDo &&
        moves[static_cast<std::size_t>(stage.move)].undone == kNotReversible)
      a.cautions.push_back(fmt::format(
          "\"{}\" is {}: do it on one trial note, regulate, weigh and play that note before the others.",
          name(stage.move), kNotReversibleMark));
  if (a.stages.size() > 1)
    a.cautions.push_back(
        "The second step is worked out by adding changes. Weigh again after the first and judge afresh.");
  if (first.waits >= 0)
    a.cautions.push_back(fmt::format(
        "\"{}\" ({}) would come nearer still, but to no target of yours: say what you want before "
        "it is thought of.",
        name(first.waits), kNotReversibleMark));
  if (q.invented_values > 0)
    a.cautions.push_back(fmt::format(
        "{} values of this case come from invented or borrowed parts and were measured by nobody.",
        q.invented_values));
}

Advice advise(const Question& q, const Draws& draws, std::vector<JudgedMove>& moves) {
  Advice out;
  const Stand stand(q, draws);
  if (q.notes.size() > 1) out.worst_note = q.notes[stand.worst_note()].name;
  const std::vector<JudgedMove> judged = judge_moves(q, draws);
  const Choice first = choose(stand, judged, true);
  for (std::size_t j = 0; j < moves.size(); ++j)
    if (moves[j].held_back.empty()) moves[j].held_back = first.held[j].words;
  out.stages.push_back(first.stage);
  const bool do_it = first.stage.decision == Decision::kDo;
  if (do_it && q.notes.front().moves[static_cast<std::size_t>(first.stage.move)].friction_only) {
    const Question then = after(q, static_cast<std::size_t>(first.stage.move));
    const Stand later(then, draws);
    out.stages.push_back(choose(later, judge_moves(then, draws), false).stage);
  }
  add_cautions(q, moves, first, out);
  return out;
}

}  // namespace

const char* words_of(Word word) {
  switch (word) {
    case Word::kNone:
      return "";
    case Word::kNoChange:
      return "no change";
    case Word::kInRange:
      return "in the usual range";
    case Word::kBetter:
      return "better";
    case Word::kProbablyBetter:
      return "probably better";
    case Word::kCannotTell:
      return "cannot tell";
    case Word::kProbablyWorse:
      return "probably worse";
    case Word::kWorse:
      return "worse";
    case Word::kTradeOff:
      return "trade-off";
  }
  return "";
}

Word word_for(double nearer, double differs, double low, double high, const Measure& m) {
  if (low > -m.noticeable && high < m.noticeable) return Word::kNoChange;
  if (!m.wanted.own && !(differs > 0.5)) return Word::kInRange;
  if (!std::isfinite(nearer)) return Word::kNoChange;
  if (nearer >= kSurely) return Word::kBetter;
  if (nearer >= kProbably) return Word::kProbablyBetter;
  if (nearer <= 1 - kSurely) return Word::kWorse;
  if (nearer <= 1 - kProbably) return Word::kProbablyWorse;
  return Word::kCannotTell;
}

Verdict judge(const Question& question) {
  Question q = question;
  if (q.margin_asked)  // then cap and face are no reason
    for (Measure& m : q.measures)
      if (m.is_margin) m.wanted = {};
  const Draws draws(q.with_odds ? q.doubts.size() : 0);
  Verdict out;
  out.with_odds = q.with_odds;
  out.moves = judge_moves(q, draws);
  put_losses(Stand(q, draws), out.moves);
  if (!q.with_odds) return out;
  bool naturals = false, sharps = false;
  for (const Note& note : q.notes) (note.sharp ? sharps : naturals) = true;
  if (!(naturals && sharps)) {
    out.advice.push_back(advise(q, draws, out.moves));
    return out;
  }
  for (const bool sharp : {false, true}) {
    Question part = q;
    part.notes.clear();
    for (const Note& note : q.notes)
      if (note.sharp == sharp) part.notes.push_back(note);
    out.advice.push_back(advise(part, draws, out.moves));
    out.advice.back().who = sharp ? "sharps" : "naturals";
  }
  return out;
}

}  // namespace leverwright::judgement

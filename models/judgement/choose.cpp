#include "models/judgement/choose.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/judgement/sentences.h"

namespace leverwright::judgement {

namespace {

const Move& move_at(const Stand& s, std::size_t move) { return s.question().notes.front().moves[move]; }

// Least margin of this kind left by the move, over the notes; and what the base has.
struct Margin {
  double left = std::numeric_limits<double>::infinity(), before = left;
};
Margin margin_of(const Stand& s, std::size_t k, std::size_t move) {
  Margin out;
  for (const Note& note : s.question().notes) {
    if (!std::isfinite(note.base[k].value)) continue;
    out.before = std::min(out.before, note.base[k].value);
    out.left = std::min(out.left, sum_of(note.base[k], note.moves[move].change[k]).value);
  }
  return out;
}

std::string find_margin_trouble(const Stand& s, std::size_t move) {
  const Question& q = s.question();
  for (std::size_t k = 0; k < q.measures.size(); ++k) {
    if (!q.measures[k].is_margin || q.margin_asked) continue;
    const Margin m = margin_of(s, k, move);
    if (!(m.left < q.measures[k].wanted.low)) continue;
    if (move_at(s, move).undone < kNotReversible && m.left > m.before - 0.05) continue;  // it was so before
    return fmt::format("it leaves {} of {}", amount_words(q.measures[k], m.left), q.measures[k].name);
  }
  return "";
}

std::string find_loser(const Stand& s, const std::vector<std::vector<Said>>& said) {
  for (const auto& note : said)
    for (std::size_t k = 0; k < note.size(); ++k)
      if (!s.question().measures[k].is_margin && note[k].noticeable &&
          (note[k].word == Word::kWorse || note[k].word == Word::kProbablyWorse))
        return fmt::format("{} gets worse, {}", s.question().measures[k].name,
                           amount_words(s.question().measures[k], note[k].after));
  return "";
}

bool has_own_gain(const Stand& s, std::size_t move, const std::vector<double>& against) {
  return share_gaining(against, s.tried(move).own, kLeastGain) >= kProbably;
}

// Of those given, rule 4's pick within one class.
std::size_t pick(const Stand& s, const std::vector<std::size_t>& pool) {
  double least = std::numeric_limits<double>::infinity();
  for (const std::size_t j : pool) least = std::min(least, s.tried(j).mean);
  std::size_t best = pool.front();
  bool found = false;
  const auto before = [&](std::size_t a, std::size_t b) {
    const Move &one = move_at(s, a), &other = move_at(s, b);
    if (one.friction_only != other.friction_only) return one.friction_only;
    return one.hours < other.hours;
  };
  for (const std::size_t j : pool) {
    if (s.tried(j).mean > least + kAlike) continue;
    if (!found || before(j, best)) best = j;
    found = true;
  }
  return best;
}

// Every move that eases friction alone is known to help by less than can be noticed: it sits elsewhere.
bool is_friction_elsewhere(const Stand& s) {
  bool any = false;
  for (std::size_t j = 0; j < s.question().notes.front().moves.size(); ++j) {
    if (!move_at(s, j).friction_only || !move_at(s, j).fails.empty()) continue;
    any = true;
    if (s.tried(j).noticeably_better > 1 - kProbably) return false;
  }
  return any;
}

// What the move does to friction, on the worst note.
const Doubtful& friction_change(const Stand& s, std::size_t move) {
  return s.question().notes[s.worst_note()].moves[move].change[*s.friction()];
}

// That the move takes a noticeable amount of friction away.
double odds_of_easing(const Stand& s, std::size_t move) {
  return share_gaining(std::vector<double>(Draws::kCount, 0.0), s.draws().of(friction_change(s, move)),
                       s.question().measures[*s.friction()].noticeable);
}

// "NAME; HOW" apart; `how` is empty where the bench tells nothing.
struct Doubt {
  std::string name, how;
};
Doubt doubt_at(const Stand& s, std::size_t i) {
  const std::string& words = s.question().doubts[i];
  const auto end = std::min(words.find("; "), words.size());
  return {words.substr(0, end), end + 2 < words.size() ? words.substr(end + 2) : ""};
}

// A move that eases friction alone, of which nobody can say whether it takes a noticeable amount away, because the
// frictions it eases were never gauged. A gauge on one note is a minute, its work a week.
bool is_ungauged(const Stand& s, std::size_t j) {
  const Question& q = s.question();
  const Doubtful& change = friction_change(s, j);
  double ungauged = 0;
  for (std::size_t i = 0; i < std::min(q.ungauged.size(), change.per_doubt.size()); ++i)
    if (q.ungauged[i] && std::isfinite(change.per_doubt[i])) ungauged += std::pow(change.per_doubt[i], 2);
  if (ungauged < kUngaugedShare * std::pow(sigma_of(change), 2)) return false;
  const double eases = odds_of_easing(s, j);
  return eases > 1 - kProbably && eases < kProbably && s.tried(j).noticeably_better < kProbably;
}

// What to gauge: the largest of them, three at most.
std::string what_to_gauge(const Stand& s, std::size_t j) {
  const Question& q = s.question();
  const Doubtful& change = friction_change(s, j);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < std::min(q.ungauged.size(), change.per_doubt.size()); ++i)
    if (q.ungauged[i] && std::abs(change.per_doubt[i]) > 0) order.push_back(i);
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::abs(change.per_doubt[a]) > std::abs(change.per_doubt[b]);
  });
  std::vector<std::string> how;
  for (const std::size_t i : order) {
    const Doubt doubt = doubt_at(s, i);
    const std::string one = doubt.how.empty() ? doubt.name : doubt.how;
    if (how.size() < 3 && std::find(how.begin(), how.end(), one) == how.end()) how.push_back(one);
  }
  return and_words(how);
}

bool is_worth(const Tried& t) { return t.gain >= kLeastGain && t.better >= kWorthOdds; }

// A move that eases friction alone may leave a key too light that carries too much lead, and look like no gain by
// itself. It is worth it all the same where, with the best move after it that can be undone, it comes out better
// than the best such move without it: with odds of 3 in 4, or where it is that sure that it eases. Lead then makes good
// what it takes.
bool opens_the_way(const Stand& s, std::size_t friction, const std::vector<HeldBack>& held) {
  const Question then = after(s.question(), friction);
  const Stand later(then, s.draws());
  const std::vector<double>*without = &s.loss(), *with = &later.loss();
  double without_mean = mean_of(*without), with_mean = mean_of(*with);
  for (std::size_t j = 0; j < held.size(); ++j) {
    if (held[j].why != Held::kFree || move_at(s, j).friction_only || move_at(s, j).undone >= kNotReversible)
      continue;
    if (s.tried(j).mean < without_mean) {
      without = &s.tried(j).loss;
      without_mean = s.tried(j).mean;
    }
    if (later.tried(j).mean < with_mean) {
      with = &later.tried(j).loss;
      with_mean = later.tried(j).mean;
    }
  }
  return without_mean - with_mean >= kLeastGain &&
         (share_gaining(*without, *with, 0) >= kWorthOdds || odds_of_easing(s, friction) >= kWorthOdds);
}

// What would take most of the spread of y away: "gauge the hammer centre (friction of the hammer centre is 36 % of
// the doubt)"; empty when nothing stands out.
std::string largest_doubt(const Stand& s, const std::vector<double>& y) {
  const auto shares = s.draws().shares(y);
  const auto most = std::max_element(shares.begin(), shares.end());
  if (most == shares.end() || *most < 0.1) return "";
  const Doubt doubt = doubt_at(s, static_cast<std::size_t>(most - shares.begin()));
  const std::string how = doubt.how.empty() ? "nothing on the bench tells it but a trial note" : doubt.how;
  return fmt::format("{} ({}: {:.0f} % of the doubt)", how, doubt.name, 100 * *most);
}

std::vector<double> gain_of(const Stand& s, std::size_t move) {
  std::vector<double> y = s.loss();
  for (std::size_t n = 0; n < y.size(); ++n) y[n] -= s.tried(move).loss[n];
  return y;
}

// Where the deciding measure stands, into the stage; `move` < 0: the measure farthest off.
void put_deciding(const Stand& s, int move, Stage& stage) {
  const Question& q = s.question();
  const Note& note = q.notes[s.worst_note()];
  double most = -std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < q.measures.size(); ++k) {
    if (!is_judged(q.measures[k], note.base[k])) continue;
    const double counts = move >= 0
                              ? s.gain_in(k, static_cast<std::size_t>(move))
                              : q.measures[k].wanted.distance(note.base[k].value) / q.measures[k].noticeable;
    if (counts <= most) continue;
    most = counts;
    stage.measure = static_cast<int>(k);
  }
  if (stage.measure < 0) return;
  const auto k = static_cast<std::size_t>(stage.measure);
  stage.before = note.base[k].value;
  if (move < 0) return;
  const Doubtful& change = note.moves[static_cast<std::size_t>(move)].change[k];
  stage.after = sum_of(note.base[k], change).value;
  stage.low = change.value - 1.96 * sigma_of(change);
  stage.high = change.value + 1.96 * sigma_of(change);
}

constexpr const char* kWeigh = "down and up weight: lay them on the key before anything is done";

double greatest_sigma(const Stand& s, std::size_t k) {
  double sigma = 0;
  for (const Note& note : s.question().notes) sigma = std::max(sigma, sigma_of(note.base[k]));
  return sigma;
}

// Of a measure that is not known well enough.
std::string what_to_measure(const Stand& s, std::size_t k) {
  const Question& q = s.question();
  if (q.measures[k].unit == "gf" && !q.weighed) return kWeigh;
  const std::string doubt = largest_doubt(s, s.draws().of(q.notes[s.worst_note()].base[k]));
  return doubt.empty() ? q.measures[k].name : q.measures[k].name + ", or " + doubt;
}

// Of a gain y. What is not weighed is weighed first: a minute's work takes most of the doubt away.
std::string what_settles(const Stand& s, const std::vector<double>& y) {
  const Question& q = s.question();
  for (std::size_t k = 0; k < q.measures.size(); ++k)
    if (!q.weighed && q.measures[k].unit == "gf" && q.measures[k].noticeable > 0 &&
        greatest_sigma(s, k) > q.measures[k].noticeable)
      return kWeigh;
  return largest_doubt(s, y);
}

void fill_do(const Stand& s, std::size_t move, Stage& stage) {
  const Question& q = s.question();
  stage.decision = Decision::kDo;
  stage.move = static_cast<int>(move);
  stage.better = s.tried(move).better;
  stage.noticeably_better = s.tried(move).noticeably_better;
  put_deciding(s, stage.move, stage);
  const Note& note = q.notes[s.worst_note()];
  for (std::size_t k = 0; k < q.measures.size(); ++k) {
    const Doubtful x = sum_of(note.base[k], note.moves[move].change[k]);
    stage.value.push_back(x.value);
    stage.sigma.push_back(sigma_of(x));
  }
  const Measure& m = q.measures[static_cast<std::size_t>(stage.measure)];
  stage.why =
      fmt::format("{}; it then comes to {} ({:+.{}f} {}, 95 %: {:+.{}f} to {:+.{}f})",
                  stand_words(m, stage.before), amount_words(m, stage.after), stage.after - stage.before,
                  m.decimals, m.unit, stage.low, m.decimals, stage.high, m.decimals);
  if (const Move& done = move_at(s, move); !done.unset.empty())
    stage.why += fmt::format("; the {} may not come to its mark then: try it on one note", done.unset);
  const std::string doubt = what_settles(s, gain_of(s, move));
  if (!doubt.empty() && stage.noticeably_better < kSurely) stage.settle = doubt;
}

void fill_unknown(const Stand& s, std::size_t k, Stage& stage) {
  const Question& q = s.question();
  stage.decision = Decision::kMeasureFirst;
  stage.measure = static_cast<int>(k);
  stage.before = q.notes[s.worst_note()].base[k].value;
  stage.why = fmt::format("{}, but known to +-{:.{}f} {} only", stand_words(q.measures[k], stage.before),
                          greatest_sigma(s, k), q.measures[k].decimals, q.measures[k].unit);
  stage.settle = what_to_measure(s, k);
}

void fill_ungauged(const Stand& s, std::size_t move, Stage& stage) {
  const Question& q = s.question();
  const std::size_t k = *s.friction();
  const Doubtful& change = friction_change(s, move);
  stage.decision = Decision::kMeasureFirst;
  stage.move = static_cast<int>(move);
  stage.measure = static_cast<int>(k);
  stage.before = q.notes[s.worst_note()].base[k].value;
  stage.better = s.tried(move).better;
  stage.noticeably_better = s.tried(move).noticeably_better;
  stage.why = fmt::format(
      "{}; \"{}\" takes away {:.{}f} +- {:.{}f} {} as far as is known, and nobody gauged where it sits",
      stand_words(q.measures[k], stage.before), move_at(s, move).name, -change.value, q.measures[k].decimals,
      1.96 * sigma_of(change), q.measures[k].decimals, q.measures[k].unit);
  stage.settle = what_to_gauge(s, move);
}

// Nothing was chosen: which of the other three answers it is.
void fill_no_move(const Stand& s, const std::vector<HeldBack>& held, bool first, bool friction_treated,
                  const std::vector<bool>& allowed, Stage& stage) {
  const Question& q = s.question();
  put_deciding(s, -1, stage);
  const bool judged = stage.measure >= 0;
  const Measure* m = judged ? &q.measures[static_cast<std::size_t>(stage.measure)] : nullptr;
  // A move that only lacks targets, and would gain noticeably with odds of 9 in 10.
  int waits = -1, invented = -1, by_odds = -1;
  for (std::size_t j = 0; j < held.size(); ++j) {
    const Tried& t = s.tried(j);
    const auto better = [&](int than) {
      return than < 0 || t.mean < s.tried(static_cast<std::size_t>(than)).mean;
    };
    if (!allowed[j] || !(t.gain >= kLeastGain)) continue;
    const bool sure = t.noticeably_better >= kProbably;
    if (held[j].why == Held::kTargets && sure && better(waits)) waits = static_cast<int>(j);
    if (held[j].why == Held::kInvented && sure && better(invented)) invented = static_cast<int>(j);
    if ((held[j].why == Held::kFree || held[j].why == Held::kTargets || held[j].why == Held::kInvented) &&
        !sure && better(by_odds))
      by_odds = static_cast<int>(j);
  }
  const auto say = [&](Decision decision, int move, std::string why, std::string settle) {
    stage.decision = decision;
    stage.move = move;
    if (move >= 0) {
      stage.better = s.tried(static_cast<std::size_t>(move)).better;
      stage.noticeably_better = s.tried(static_cast<std::size_t>(move)).noticeably_better;
    }
    stage.why = std::move(why);
    stage.settle = std::move(settle);
  };
  const std::string stands = judged ? stand_words(*m, stage.before) : "";
  if (first && !friction_treated) {
    const std::size_t k = *s.friction();
    double most = 0;
    for (const Note& note : q.notes) most = std::max(most, note.base[k].value);
    stage.measure = static_cast<int>(k);
    stage.before = most;
    return say(Decision::kMeasureFirst, -1,
               stand_words(q.measures[k], most) + ", and no move of the case is known to take it away",
               "the friction of each centre and bushing and of the key alone, to find where it sits");
  }
  if (waits >= 0) {
    for (std::size_t k = 0; k < q.measures.size(); ++k)
      if (!q.measures[k].wanted.own && !q.measures[k].is_margin &&
          s.gain_in(k, static_cast<std::size_t>(waits)) > 0.25)
        stage.ask.push_back(static_cast<int>(k));
    return say(Decision::kSetTarget, waits, stands, "");
  }
  if (invented >= 0)
    return say(Decision::kMeasureFirst, invented,
               fmt::format("{}; what \"{}\" would do rests on values nobody measured", stands,
                           move_at(s, static_cast<std::size_t>(invented)).name),
               "the parts whose values are invented or borrowed");
  if (by_odds >= 0) {
    const auto j = static_cast<std::size_t>(by_odds);
    return say(Decision::kMeasureFirst, by_odds,
               fmt::format("{}; \"{}\" helps noticeably with odds of {} only", stands, move_at(s, j).name,
                           odds_words(s.tried(j).noticeably_better)),
               what_settles(s, gain_of(s, j)));
  }
  int unknown = -1;
  for (std::size_t k = 0; k < q.measures.size(); ++k) {
    const auto off = [&](std::size_t i) { return s.distance(i) / q.measures[i].noticeable; };
    if (s.is_unknown(k) && (unknown < 0 || off(k) > off(static_cast<std::size_t>(unknown))))
      unknown = static_cast<int>(k);
  }
  if (unknown >= 0) return fill_unknown(s, static_cast<std::size_t>(unknown), stage);
  bool wrong = false;
  for (std::size_t k = 0; k < q.measures.size(); ++k) wrong = wrong || s.is_wrong(k);
  std::string why = stands;
  if (wrong)
    why += held.empty() ? "; the case names no move" : ", but no move of the case makes it noticeably better";
  say(Decision::kNothing, -1, why, "");
}

}  // namespace

HeldBack find_held_back(const Stand& s, std::size_t j, bool friction_treated,
                        const std::vector<std::vector<Said>>& said) {
  for (const Note& note : s.question().notes) {
    const Move& m = note.moves[j];
    if (!m.fails.empty()) return {Held::kFails, "it cannot be regulated: " + m.fails};
    if (!m.over_limit.empty()) return {Held::kLimit, m.over_limit};
  }
  const std::string margin = find_margin_trouble(s, j);
  if (!margin.empty()) return {Held::kMargin, margin};
  const Move& m = move_at(s, j);
  if (m.undone < kNotReversible) return {};
  if (!m.unset.empty()) return {Held::kFails, fmt::format("the {} cannot then be set as asked", m.unset)};
  const std::string loser = find_loser(s, said);
  if (!loser.empty()) return {Held::kTradeOff, loser};
  if (!friction_treated) return {Held::kFriction, "friction comes first"};
  if (m.invented_share > kInventedShare)
    return {Held::kInvented,
            fmt::format("{:.0f} % of its doubt comes from values nobody measured", 100 * m.invented_share)};
  if (!has_own_gain(s, j, s.own()) && s.tried(j).gain >= kLeastGain) {
    double own_gain = mean_of(s.own()) - mean_of(s.tried(j).own);
    if (own_gain < kLeastGain) return {Held::kTargets, "what it gains is no target of yours"};
  }
  return {};
}

Choice choose(const Stand& s, const std::vector<JudgedMove>& judged, bool first) {
  Choice out;
  const Question& q = s.question();
  const std::size_t count = judged.size();
  for (const Note& note : q.notes)
    if (!note.fails.empty()) {
      out.held.assign(count, {Held::kFails, "the base cannot be regulated"});
      out.stage.decision = Decision::kMeasureFirst;
      out.stage.why = fmt::format("{} cannot be regulated ({}): what is compared with it means nothing",
                                  q.notes.size() > 1 ? "note " + note.name : "the base", note.fails);
      out.stage.settle = "why it does not regulate";
      return out;
    }
  std::vector<bool> allowed(count, true);
  for (std::size_t j = 0; j < count; ++j)
    if (!first && move_at(s, j).friction_only) allowed[j] = false;
  const bool high = s.friction_is_high();
  const bool treated = !high || !first || is_friction_elsewhere(s);
  for (std::size_t j = 0; j < count; ++j) out.held.push_back(find_held_back(s, j, treated, judged[j].notes));
  bool wrong = false, unknown = false;
  for (std::size_t k = 0; k < q.measures.size(); ++k) {
    wrong = wrong || s.is_wrong(k);
    unknown = unknown || s.is_unknown(k);
  }
  if (!wrong && !unknown) {
    put_deciding(s, -1, out.stage);
    if (out.stage.measure >= 0)
      out.stage.why = stand_words(q.measures[static_cast<std::size_t>(out.stage.measure)], out.stage.before);
    return out;
  }
  const auto free = [&](std::size_t j) { return allowed[j] && out.held[j].why == Held::kFree; };
  if (first && high) {
    std::vector<std::size_t> pool;
    for (std::size_t j = 0; j < count; ++j)
      if (free(j) && move_at(s, j).friction_only && (is_worth(s.tried(j)) || opens_the_way(s, j, out.held)))
        pool.push_back(j);
    std::vector<std::size_t> likely = pool;
    for (std::size_t j = 0; j < count; ++j)
      if (pool.empty() && !treated && free(j) && move_at(s, j).friction_only) likely.push_back(j);
    if (!likely.empty()) {
      const std::size_t best = pick(s, likely);
      const bool ungauged = is_ungauged(s, best);
      if (ungauged) fill_ungauged(s, best, out.stage);
      if (!ungauged && !pool.empty()) fill_do(s, best, out.stage);
      if (ungauged || !pool.empty()) return out;
    }
  }
  int current = -1;
  for (int undone = kUndoneInMinutes; undone <= kNotReversible; ++undone) {
    const auto& loss = current < 0 ? s.loss() : s.tried(static_cast<std::size_t>(current)).loss;
    const auto& own = current < 0 ? s.own() : s.tried(static_cast<std::size_t>(current)).own;
    std::vector<std::size_t> pool;
    for (std::size_t j = 0; j < count; ++j) {
      if (!allowed[j] || move_at(s, j).undone != undone) continue;
      const bool clearly = share_gaining(loss, s.tried(j).loss, kLeastGain) >= kProbably;
      if (undone == kNotReversible) {
        if (clearly && out.held[j].why == Held::kTargets && out.waits < 0) out.waits = static_cast<int>(j);
        if (free(j) && clearly && has_own_gain(s, j, own)) pool.push_back(j);
      } else if (free(j) && (current < 0 ? is_worth(s.tried(j)) : clearly)) {
        pool.push_back(j);
      }
    }
    if (!pool.empty()) current = static_cast<int>(pick(s, pool));
  }
  if (current >= 0) {
    const auto move = static_cast<std::size_t>(current);
    fill_do(s, move, out.stage);
    const auto deciding = static_cast<std::size_t>(out.stage.measure);
    if (move_at(s, move).undone > kUndoneInMinutes && !move_at(s, move).friction_only &&
        s.is_unknown(deciding)) {
      out.stage = {};
      fill_unknown(s, deciding, out.stage);
      out.stage.why += fmt::format("; on paper \"{}\" would be the move", move_at(s, move).name);
    }
  } else
    fill_no_move(s, out.held, first, treated, allowed, out.stage);
  return out;
}

}  // namespace leverwright::judgement

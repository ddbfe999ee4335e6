// The judgement: what an experienced rebuilder would do. Every output quotes it.
//
// For each measure k of a move, with x the base, x' = x + change, d = distance to what is wanted, over draws
// of the doubts:
//   band      change +- 1.96 standard deviations
//   nearer    share of draws with d(x') < d(x) among those where the distances differ
//   word      no change: the whole band is smaller than what can be noticed
//             in the usual range: no target, and in more than half of the draws neither x nor x' is outside
//             better, probably better: nearer in 97.5, 90 of 100; worse, probably worse likewise
//             cannot tell: all else
//   A move with a noticeable gain in one measure and a noticeable loss in another is a trade-off.
//
// Choice. Loss = sum over the judged measures of d / noticeable, mean over the notes. In this order:
//   1. The base does not regulate: find out why. Nothing compared with it means anything.
//   2. Nothing is wrong (every distance within the noticeable, and known so): nothing.
//   3. Friction stands high by more than the noticeable and a move that eases friction alone is worth it, by
//      itself or with the best move after it that can be undone (there, odds of 3 in 4 that it takes a noticeable amount
//      of friction away will do): that move first; then the same question
//      once more with its change added to the base.
//      Where nobody can say whether it takes a noticeable amount away, because what it eases was never gauged
//      (kUngaugedShare): gauge first. Lead is no answer to friction that was not looked for either.
//   4. From the moves undone in minutes upward. A move is worth it when it takes at least 1 off the loss in
//   the
//      mean and is better than nothing with odds of 3 in 4; one of a higher class has to be better than the
//      one already chosen by at least 1 with odds of 9 in 10, or the lower class stands. Of one class the
//      least loss; among those within half a unit of it friction before geometry, then the fewer hours.
//   5. A move that is not reversible must besides: leave half a millimetre of cap and face (unless asked);
//   gain
//      with the user's own targets alone; make no measure noticeably and probably worse; not rest on invented
//      values for half of its doubt; and find friction cured, or treated as far as the case has moves for it.
//      The first of these it fails is said. Where it fails for want of targets the targets are asked for.
//      Nor may it leave back check or repetition spring where they cannot be set as asked. A move that can be undone
//      may: a trial note shows it, and a hand bends the spring; the sentence says it.
//   6. Nothing chosen, and friction stands high, or a measure is not known to within the noticeable, or a
//   move
//      failed by its odds alone, or the measure that decides for work is not known: measure first, and what.
// A unit of loss is one noticeable amount of one measure. Balance weight and friction count beside down and
// up weight, of which they are made: a gf of either moves three of the four.
#pragma once
#include <string>
#include <vector>

#include "models/judgement/question.h"

namespace leverwright::judgement {

inline constexpr double kSurely = 0.975, kProbably = 0.9;
inline constexpr double kWorthOdds = 0.75;  // of a reversible move against nothing
inline constexpr double kLeastGain = 1;     // of loss
inline constexpr double kAlike = 0.5;       // of loss
inline constexpr double kInventedShare = 0.5;
inline constexpr double kUngaugedShare = 1.0 / 3;  // of the variance of what a move takes off friction

enum class Word {
  kNone,  // not judged, or no uncertainty known
  kNoChange,
  kInRange,
  kBetter,
  kProbablyBetter,
  kCannotTell,
  kProbablyWorse,
  kWorse,
  kTradeOff  // of a move, never of a measure
};
const char* words_of(Word word);

struct Said {  // of one measure of one move; in the measure's unit
  double before = kUnknown, after = kUnknown, change = kUnknown, low = kUnknown, high = kUnknown;
  double nearer = kUnknown;  // odds, 0 to 1; not a number where the distance never differs
  bool noticeable = false;   // the change itself
  Word word = Word::kNone;
};

struct JudgedMove {
  std::string name;
  int undone = kUndoneInMinutes;
  std::vector<std::vector<Said>> notes;  // [note][measure]
  Word word = Word::kNone;
  double loss = kUnknown, gain = kUnknown;  // means; gain against doing nothing
  double better = kUnknown;                 // odds that its loss is smaller than that of doing nothing
  double noticeably_better = kUnknown;      // odds that it gains at least kLeastGain
  std::string held_back;                    // why it is not to be recommended now; empty: nothing forbids it
};

enum class Decision { kNothing, kDo, kMeasureFirst, kSetTarget };

struct Stage {
  Decision decision = Decision::kNothing;
  int move = -1;  // of the question; kDo, and kSetTarget or kMeasureFirst where one move waits for it
  double better = kUnknown, noticeably_better = kUnknown;
  // The measure that decides and, on the worst note, where it stands before and after.
  int measure = -1;
  double before = kUnknown, after = kUnknown, low = kUnknown, high = kUnknown;
  std::string why;                   // with the number that decides, a sentence
  std::string settle;                // what measurement would settle it; empty: none needed
  std::vector<int> ask;              // kSetTarget: measures whose target is wanted
  std::vector<double> value, sigma;  // kDo: every measure predicted after it, worst note
};

struct Advice {
  std::string who;            // "naturals", "sharps"; empty: all notes
  std::string worst_note;     // empty: only one note
  std::vector<Stage> stages;  // at least one
  std::vector<std::string> cautions;
};

struct Verdict {
  bool with_odds = true;
  std::vector<Advice> advice;     // one, or naturals and sharps apart
  std::vector<JudgedMove> moves;  // in the order of the question
};

// At least one note. Draws are the same for the same question, whatever the machine's number of threads.
Verdict judge(const Question& question);

// The word for a change: `nearer` and `differs` are shares of draws (see above). For those who have draws of
// their own.
Word word_for(double nearer, double differs, double low, double high, const Measure& measure);

}  // namespace leverwright::judgement

// The judgement in words. Every output takes its sentences from here.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "models/judgement/judge.h"

namespace leverwright::judgement {

inline constexpr const char* kNotReversibleMark = "NOT REVERSIBLE";

// "undone in minutes", "undone with work or parts", "NOT REVERSIBLE".
const char* undone_words(int undone);

// "9 in 10", "99 in 100", "less than 1 in 10".
std::string odds_words(double odds);

// "52.4 gf"; "+-3.8" has no place here.
std::string amount_words(const Measure& measure, double value);

// "your target of 50.0 gf", "the usual 45.0 to 55.0 gf", "at most 15.0 gf".
std::string wanted_words(const Measure& measure);

// "friction 18.4 gf, 3.4 gf above the usual 15.0 gf"; "down weight 51.5 gf, 1.5 gf from your target of 50.0
// gf".
std::string stand_words(const Measure& measure, double value);

// What to do, without the reason: "Friction first: friction only (undone with work or parts). Then weigh and
// look again: as predicted nothing more is needed."
std::string answer_words(const Question& question, const Advice& advice);

// Lines of the answer, at most five for each advice: label and text. What to do, why, how sure, no way back,
// measure.
using Line = std::pair<std::string, std::string>;
std::vector<Line> answer_lines(const Question& question, const Verdict& verdict);

// What is said of one move, a sentence or two: "Probably better: friction -3.8 gf (-6.9 to -0.7), nearer to
// ...".
std::string move_words(const Question& question, const JudgedMove& move);

// Beside what is not judged (how it feels, repeats): which of these moves cannot be undone. Empty: none of them.
// "NOT REVERSIBLE: "capstan relocated". What to do, compare says: by odds, and by what can be undone."
std::string no_way_back_words(const std::vector<std::pair<std::string, int>>& moves_undone);

// After this move was made on sample notes and measured: whether the next note may be touched. Empty where it can
// be undone.
std::string go_on_words(const std::string& move, int undone, bool as_predicted);

std::string and_words(const std::vector<std::string>& words);  // "a, b and c"

}  // namespace leverwright::judgement

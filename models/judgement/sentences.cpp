#include "models/judgement/sentences.h"

#include <fmt/format.h>

#include <cctype>
#include <cmath>

namespace leverwright::judgement {

namespace {

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

const Move& move_of(const Question& q, const Stage& stage) {
  return q.notes.front().moves[static_cast<std::size_t>(stage.move)];
}

std::string named(const Move& m) { return fmt::format("\"{}\" ({})", m.name, undone_words(m.undone)); }

std::string ask_words(const Question& q, const Stage& s) {
  std::vector<std::string> names;
  for (const int k : s.ask) names.push_back(q.measures[static_cast<std::size_t>(k)].name);
  return names.empty() ? std::string("say whether you want it")
                       : fmt::format("set a target ({})", and_words(names));
}

std::string first_words(const Question& q, const Stage& s, bool staged) {
  switch (s.decision) {
    case Decision::kNothing:
      return s.after != s.after && s.measure < 0 ? "leave it as it is; nothing can be judged"
                                                 : "leave it as it is";
    case Decision::kDo:
      return (staged ? "friction first: " : "") + named(move_of(q, s));
    case Decision::kMeasureFirst:
      return "measure first, change nothing yet";
    case Decision::kSetTarget:
      return fmt::format("{} before anything is cut: {} waits for it", ask_words(q, s), named(move_of(q, s)));
  }
  return "";
}

std::string later_words(const Question& q, const Stage& s) {
  switch (s.decision) {
    case Decision::kNothing:
      return "As predicted nothing more is needed";
    case Decision::kDo:
      return "As predicted it is then the turn of " + named(move_of(q, s));
    case Decision::kMeasureFirst:
      return "What comes then is not known yet";
    case Decision::kSetTarget:
      return fmt::format("Before more is done {}: {} would wait for it", ask_words(q, s),
                         named(move_of(q, s)));
  }
  return "";
}

std::string how_sure(const Stage& s) {
  if (!std::isfinite(s.better)) return "";
  return fmt::format("better than leaving it with odds of {}, noticeably so with {}", odds_words(s.better),
                     odds_words(s.noticeably_better));
}

// Moves of the case that cannot be undone, but for those of the answer.
std::string irreversible_words(const Question& q, const Advice& a) {
  std::vector<std::string> mine, others;
  for (std::size_t j = 0; j < q.notes.front().moves.size(); ++j) {
    if (q.notes.front().moves[j].undone != kNotReversible) continue;
    bool advised = false;
    for (const Stage& s : a.stages)
      advised = advised || (s.decision == Decision::kDo && s.move == static_cast<int>(j));
    (advised ? mine : others).push_back("\"" + q.notes.front().moves[j].name + "\"");
  }
  std::string out;
  if (!mine.empty()) out = fmt::format("{}: {}. A trial note first", kNotReversibleMark, and_words(mine));
  if (!others.empty())
    out += fmt::format("{}{}: {}", out.empty() ? "nothing of this. In the case " : ". Not advised and ",
                       kNotReversibleMark, and_words(others));
  return out.empty() ? "nothing of this" : out;
}

}  // namespace

std::string and_words(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t k = 0; k < words.size(); ++k)
    out += (k == 0 ? "" : k + 1 == words.size() ? " and " : ", ") + words[k];
  return out;
}

std::string no_way_back_words(const std::vector<std::pair<std::string, int>>& moves) {
  std::vector<std::string> names;
  for (const auto& [name, undone] : moves)
    if (undone >= kNotReversible) names.push_back("\"" + name + "\"");
  if (names.empty()) return "";
  return fmt::format("{}: {}. What to do, compare says: by odds, and by what can be undone.",
                     kNotReversibleMark, and_words(names));
}

std::string go_on_words(const std::string& move, int undone, bool as_predicted) {
  if (undone < kNotReversible) return "";
  return fmt::format("\"{}\" is {}: {}.", move, kNotReversibleMark,
                     as_predicted ? "go on with the next sample note, not with all at once"
                                  : "no other note is touched before this one is explained");
}

const char* undone_words(int undone) {
  return undone >= kNotReversible    ? kNotReversibleMark
         : undone == kUndoneWithWork ? "undone with work or parts"
                                     : "undone in minutes";
}

std::string odds_words(double odds) {
  if (!std::isfinite(odds)) return "even";
  if (odds >= 0.99) return "99 in 100";
  if (odds < 0.1) return "less than 1 in 10";
  return fmt::format("{} in 10", static_cast<int>(std::floor(10 * odds + 1e-9)));
}

std::string amount_words(const Measure& m, double value) {
  std::string number = fmt::format("{:.{}f}", value, m.decimals);
  if (number.find_first_of("123456789") == std::string::npos && number[0] == '-') number.erase(0, 1);
  return m.unit.empty() ? number : number + " " + m.unit;
}

std::string wanted_words(const Measure& m) {
  const bool low = std::isfinite(m.wanted.low), high = std::isfinite(m.wanted.high);
  const std::string whose = m.wanted.own ? "your target of " : m.is_margin ? "the least of " : "the usual ";
  if (low && high && m.wanted.low != m.wanted.high)
    return fmt::format("{}{:.{}f} to {}", whose, m.wanted.low, m.decimals, amount_words(m, m.wanted.high));
  return whose + amount_words(m, high ? m.wanted.high : m.wanted.low);
}

std::string stand_words(const Measure& m, double value) {
  const double off = m.wanted.distance(value);
  const std::string stands = m.name + " " + amount_words(m, value);
  const std::string wanted = wanted_words(m);
  if (off < 0.5 * std::pow(10.0, -m.decimals))  // nothing that is shown
    return fmt::format("{}, {} {}", stands, m.wanted.low == m.wanted.high ? "on" : "within", wanted);
  return fmt::format("{}, {} {} {}{}", stands, amount_words(m, off),
                     value > m.wanted.high ? "above" : "below", wanted,
                     off <= m.noticeable ? ", too little to notice" : "");
}

std::string answer_words(const Question& q, const Advice& a) {
  const bool staged = a.stages.size() > 1;
  std::string out = capital(first_words(q, a.stages.front(), staged)) + ".";
  if (staged) out += " Then weigh and look again. " + later_words(q, a.stages[1]) + ".";
  return out;
}

std::vector<Line> answer_lines(const Question& q, const Verdict& v) {
  std::vector<Line> out;
  for (const Advice& a : v.advice) {
    const Stage& s = a.stages.front();
    out.emplace_back(a.who.empty() ? "Do" : capital(a.who), answer_words(q, a));
    std::string why = capital(s.why) + ".";
    if (!a.worst_note.empty()) why += " Worst note: " + a.worst_note + ".";
    if (a.stages.size() > 1) why += " Then " + a.stages[1].why + ".";
    out.emplace_back("Why", why);
    if (s.decision == Decision::kDo) {
      std::string sure = capital(how_sure(s)) + ".";
      if (a.stages.size() > 1 && a.stages[1].decision == Decision::kDo)
        sure += " The second step: " + how_sure(a.stages[1]) + ".";
      out.emplace_back("How sure", sure);
    }
    out.emplace_back("No way back", capital(irreversible_words(q, a)) + ".");
    if (!s.settle.empty()) out.emplace_back("To measure", capital(s.settle) + ".");
  }
  return out;
}

std::string move_words(const Question& q, const JudgedMove& j) {
  const std::vector<Said>& said = j.notes.front();
  std::vector<std::string> better, worse, unsure, kept;
  for (std::size_t k = 0; k < said.size(); ++k) {
    const Measure& m = q.measures[k];
    if (said[k].word == Word::kNone) continue;
    const std::string text =
        fmt::format("{} {:+.{}f}{}{}", m.name, said[k].change, m.decimals, m.unit.empty() ? "" : " ", m.unit);
    switch (said[k].word) {
      case Word::kBetter:
        better.push_back(text);
        break;
      case Word::kProbablyBetter:
        better.push_back(text + fmt::format(" (probably, {})", odds_words(said[k].nearer)));
        break;
      case Word::kWorse:
        worse.push_back(text);
        break;
      case Word::kProbablyWorse:
        worse.push_back(text + fmt::format(" (probably, {})", odds_words(1 - said[k].nearer)));
        break;
      case Word::kCannotTell:
        unsure.push_back(text);
        break;
      case Word::kInRange:  // a hand notices it, but nobody asked for one side or the other
        if (said[k].noticeable) kept.push_back(text);
        break;
      default:
        break;
    }
  }
  std::string out;
  const auto add = [&](const char* what, const std::vector<std::string>& list) {
    if (!list.empty()) out += (out.empty() ? "" : "; ") + std::string(what) + " " + and_words(list);
  };
  add("better:", better);
  add("worse:", worse);
  add("cannot tell:", unsure);
  add("within the usual range all the same:", kept);
  if (out.empty()) out = "no change that could be noticed in what is judged";
  if (j.word == Word::kTradeOff) out = "trade-off, " + out;
  out = capital(out) + ".";
  if (!j.held_back.empty()) out += " Held back: " + j.held_back + ".";
  return out;
}

}  // namespace leverwright::judgement

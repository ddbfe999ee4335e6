#include "viz/table/answer.h"

#include <fmt/format.h>

#include <algorithm>

#include "models/case_file/remedy.h"
#include "models/judgement/sentences.h"

namespace leverwright::table {

using judgement::Advice;
using judgement::Decision;

namespace {

const char* decision_key(Decision d) {
  switch (d) {
    case Decision::kNothing:
      return "nothing";
    case Decision::kDo:
      return "do";
    case Decision::kMeasureFirst:
      return "measure first";
    case Decision::kSetTarget:
      return "set a target";
  }
  return "";
}

Json stage_json(const study::Comparison& c, const judgement::Stage& s) {
  const auto& q = c.question;
  Json out{{"decision", decision_key(s.decision)}, {"why", s.why}};
  if (s.move >= 0) {
    const auto& move = q.notes.front().moves[static_cast<std::size_t>(s.move)];
    out["set_up"] = move.name;
    out["undone"] = judgement::undone_words(move.undone);
    out["odds_better"] = s.better;
    out["odds_noticeably_better"] = s.noticeably_better;
  }
  if (s.measure >= 0) {
    const auto& m = q.measures[static_cast<std::size_t>(s.measure)];
    out["measure"] = m.key;
    out["unit"] = m.unit;
    out["before"] = s.before;
    out["after"] = s.after;
  }
  if (!s.settle.empty()) out["measure_to_settle_it"] = s.settle;
  if (!s.ask.empty()) {
    out["targets_wanted"] = Json::array();
    for (const int k : s.ask) out["targets_wanted"].push_back(q.measures[static_cast<std::size_t>(k)].key);
  }
  if (!s.value.empty()) {
    out["predicted"] = Json::array();
    for (std::size_t k = 0; k < q.measures.size(); ++k)
      out["predicted"].push_back(Json{{"key", q.measures[k].key},
                                      {"unit", q.measures[k].unit},
                                      {"value", s.value[k]},
                                      {"sigma", s.sigma[k]}});
  }
  return out;
}

std::string write_lines(const std::vector<judgement::Line>& lines, const Look& look) {
  int label = 0;
  for (const auto& line : lines) label = std::max(label, columns_of(line.first));
  Grid grid({label, std::max(30, look.width - label - 2)});
  for (const auto& [name, text] : lines) grid.add({{name, Colour::kHeading}, {text}});
  return grid.write(look);
}

}  // namespace

std::string write_answer(const study::Comparison& c, const Look& look) {
  if (!c.judged.with_odds)
    return wrap("Without uncertainties nothing is judged: a small difference may be no difference.",
                look.width);
  return write_lines(judgement::answer_lines(c.question, c.judged), look);
}

std::string write_answer_cautions(const study::Comparison& c, const Look& look) {
  std::string out;
  for (const Advice& a : c.judged.advice)
    for (const std::string& caution : a.cautions) out += wrap(caution, look.width, "- ", "  ");
  return out;
}

std::string undone_mark(const study::Comparison& c, std::size_t k) {
  return k == 0 ? "" : std::string("[") + judgement::undone_words(c.set_ups[k].undone) + "]";
}

std::string write_no_way_back(const case_file::CaseDescription& d, const Look& look) {
  std::vector<std::pair<std::string, int>> moves;
  for (std::size_t k = 1; k < d.set_ups.size(); ++k)
    moves.emplace_back(d.set_ups[k].name, case_file::undone_class(d.set_ups[k]));
  const std::string words = judgement::no_way_back_words(moves);
  return words.empty() ? "" : "\n" + wrap(words, look.width);
}

void add_answer(Document& document, const study::Comparison& c, bool all) {
  if (!c.judged.with_odds) return;
  std::string said;
  for (std::size_t k = 1; k < c.set_ups.size(); ++k)
    said += fmt::format("\"{}\": {}", c.set_ups[k].name, c.set_ups[k].verdict);
  if (all) document.set("answer", answer_json(c));
  document.text([lines = judgement::answer_lines(c.question, c.judged), all, said](const Look& look) {
    const std::string head = all ? "What to do, as compare says" : "What compare says of it";
    return "\n" + paint(head, Colour::kHeading, look) + "\n" +
           (all ? write_lines(lines, look) : wrap(said, look.width));
  });
}

Json answer_json(const study::Comparison& c) {
  Json out = Json::array();
  const auto lines = judgement::answer_lines(c.question, c.judged);
  for (const Advice& a : c.judged.advice) {
    Json one{{"who", a.who.empty() ? std::string("all notes") : a.who}};
    if (!a.worst_note.empty()) one["worst_note"] = a.worst_note;
    one["stages"] = Json::array();
    for (const auto& s : a.stages) one["stages"].push_back(stage_json(c, s));
    one["lines"] = Json::array();
    for (const auto& [label, text] : lines) one["lines"].push_back(Json{{"label", label}, {"text", text}});
    one["cautions"] = a.cautions;
    out.push_back(one);
  }
  return out;
}

Json judged_json(const study::Comparison& c, std::size_t k) {
  if (k == 0 || c.judged.moves.size() < k) return Json();
  const auto& j = c.judged.moves[k - 1];
  return Json{{"undone", judgement::undone_words(j.undone)},
              {"word", judgement::words_of(j.word)},
              {"loss", j.loss},
              {"gain", j.gain},
              {"odds_better", j.better},
              {"odds_noticeably_better", j.noticeably_better},
              {"held_back", j.held_back}};
}

}  // namespace leverwright::table

#include "models/study/judge_comparison.h"

#include <algorithm>
#include <cmath>

#include "models/case_file/remedy.h"
#include "models/case_file/trade_names.h"
#include "models/judgement/usual.h"
#include "models/study/quantities.h"
#include "models/study/remedies.h"
#include "models/study/verdict.h"
#include "sim/base/words.h"

namespace leverwright::study {

using case_file::CaseDescription;
using judgement::Doubtful;
using judgement::Question;

namespace {

constexpr double kToMm = 1e3;

// The measures of the comparison that are judged where the user set a target of his own.
constexpr MeasureIndex kOnlyWithTarget[] = {kDistanceRatio, kLetOffResistance, kReflectedMass,
                                            kCapstanFriction};

const MeasureInfo* find_info(const std::string& key) {
  for (const MeasureInfo& info : kMeasures)
    if (key == info.key) return &info;
  return nullptr;
}

bool has_own_target(const CaseDescription& d, const std::string& key) {
  const auto found = d.quantities.find("targets." + key);
  return found != d.quantities.end() && !found->second.from_default;
}

double display_factor(const std::string& key) {
  const MeasureInfo* info = find_info(key);
  return info ? info->display_factor : kToMm;  // let-off and the margins
}

// "keep dip and blow" holds dip and blow.
bool is_held(const CaseDescription& d, const std::string& key) {
  if (key == "let_off") return true;
  const bool can = key == "dip" || key == "blow" || key == "aftertouch";
  const auto policy = d.choices.find("regulation.policy");
  return can && policy != d.choices.end() && policy->second.find(key) != std::string::npos;
}

std::vector<judgement::Measure> wanted_measures(const CaseDescription& d) {
  auto out = judgement::usual_measures(d.has("note.number") ? d.value("note.number") : 1);
  for (const MeasureIndex k : kOnlyWithTarget) {
    const MeasureInfo& info = kMeasures[k];
    if (!has_own_target(d, info.key)) continue;
    judgement::Measure m;
    m.key = info.key;
    m.name = info.name;
    m.unit = std::string(info.display_unit) == "1" ? "" : info.display_unit;
    m.decimals = info.decimals;
    out.push_back(m);
  }
  for (judgement::Measure& m : out) {
    const double factor = display_factor(m.key);
    if (d.has("noticeable." + m.key)) m.noticeable = d.value("noticeable." + m.key) * factor;
    if (m.is_margin && d.has("targets.least_margin")) m.wanted.low = d.value("targets.least_margin") * factor;
  }
  for (const judgement::Measure& m : std::vector<judgement::Measure>(out)) {
    const double factor = display_factor(m.key);
    if (is_held(d, m.key) && d.has("regulation." + m.key))
      judgement::set_target(out, m.key, d.value("regulation." + m.key) * factor);
    else if (has_own_target(d, m.key))
      judgement::set_target(out, m.key, d.value("targets." + m.key) * factor);
  }
  judgement::derive_targets(out);
  return out;
}

double value_of(const SetUpResult& s, const std::string& key) {
  if (key == "let_off") return s.regulated.let_off * kToMm;
  if (key == "cap_margin") return read_quantity(kQuantities[kCapEdgeMargin], s).value * kToMm;
  if (key == "face_margin") return read_quantity(kQuantities[kFaceMargin], s).value * kToMm;
  const MeasureInfo* info = find_info(key);
  return s.measures[static_cast<std::size_t>(info - kMeasures.data())] * info->display_factor;
}

// Change of the measure per doubt: on the base (`s` 0), or what the set-up adds to that.
std::vector<double> per_doubt(const Comparison& c, std::size_t s, const std::string& key) {
  const MeasureInfo* info = find_info(key);
  std::vector<double> out(c.inputs.size(), 0.0);
  if (!info || c.effects.change.empty()) return out;
  const auto k = static_cast<std::size_t>(info - kMeasures.data());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const bool own = c.inputs[i].kind == Input::Kind::kChange && c.inputs[i].set_up > 0;
    const double base = own ? 0 : c.effects.change[0][i][k];
    const double x = s == 0 ? base : c.effects.change[s][i][k] - base;
    if (std::isfinite(x)) out[i] = x * info->display_factor;
  }
  return out;
}

bool is_invented(const CaseDescription& d, const Input& in) {
  const auto found = d.quantities.find(in.key);
  return !d.invented && in.kind == Input::Kind::kQuantity && found != d.quantities.end() &&
         found->second.source.rfind("invented", 0) == 0;
}

// Of the variance of the changes of down and up weight.
double invented_share(const CaseDescription& d, const Comparison& c, std::size_t s) {
  double all = 0, invented = 0;
  for (const char* key : {"down_weight", "up_weight"}) {
    const auto per = per_doubt(c, s, key);
    for (std::size_t i = 0; i < per.size(); ++i) {
      all += per[i] * per[i];
      if (is_invented(d, c.inputs[i])) invented += per[i] * per[i];
    }
  }
  return all > 0 ? invented / all : 0;
}

// What a bench does about this doubt; empty: nothing but a trial note.
std::string how_to_settle(const CaseDescription& d, const Input& in) {
  switch (in.kind) {
    case Input::Kind::kQuantity:
      // Whoever has looked and put a value there is not sent to look again.
      if (in.key == "key.left_out" && d.quantity(in.key).knowledge != case_file::Knowledge::kEstimate)
        return "";
      return case_file::how_to_learn(in.key);
    case Input::Kind::kHeelAlong:
    case Input::Kind::kHeelAcross:
      return case_file::how_to_learn(in.key);
    case Input::Kind::kLeadMass:
    case Input::Kind::kLeadDistance:
      return "measure again: " + in.name;
    default:
      return "";
  }
}

// What is set by playing has no part in what is weighed: it is no reason to know nothing.
bool is_weighed(const SetUpResult& s) { return s.regulated.ok && s.weighing.ok; }

std::string unset_by_playing(const SetUpResult& s) {
  if (!is_weighed(s) || s.played.failures.empty()) return "";
  const std::string& what = s.played.failures.front().requirement;
  return what.substr(0, what.find(" ("));
}

std::string why_not(const SetUpResult& s) {
  if (is_weighed(s)) return "";
  if (!s.misfit.empty()) return s.misfit;
  if (!s.regulated.failures.empty()) return s.regulated.failures.front().requirement;
  return s.weighing.failure.empty() ? "the specification is not met" : s.weighing.failure;
}

// The same, and where nobody can say how sure it would be.
bool is_ungauged(const CaseDescription& d, const Input& in) {
  const bool friction = in.key.rfind("friction.", 0) == 0 || base::ends_with(in.key, ".friction");
  return in.kind == Input::Kind::kQuantity && friction && !how_to_settle(d, in).empty() &&
         d.quantity(in.key).knowledge == case_file::Knowledge::kEstimate;
}

std::string why_not(const Comparison& c, std::size_t s) {
  const std::string why = why_not(c.set_ups[s]);
  if (!why.empty() || s >= c.effects.unknown.size() || c.effects.unknown[s].empty()) return why;
  return "what the doubts do to it is not known: " + c.effects.unknown[s];
}

std::string broken_limit(const CaseDescription& d, const SetUpResult& base, const SetUpResult& s) {
  if (!d.has("targets.front_weight_limit")) return "";
  const double limit = d.value("targets.front_weight_limit");
  return s.design.front_weight > limit && s.design.front_weight > base.design.front_weight
             ? "front weight comes over its limit"
             : "";
}

judgement::Move move_of(const CaseDescription& d, const Comparison& c, std::size_t s,
                        const std::vector<judgement::Measure>& measures) {
  const SetUpResult &base = c.set_ups[0], &changed = c.set_ups[s];
  judgement::Move out;
  out.name = changed.name;
  out.undone = case_file::undone_class(d.set_ups[s]);
  out.friction_only = case_file::eases_friction_only(d.set_ups[s]);
  const case_file::Labour labour = labour_of(d.set_ups[s]);
  out.hours = 0.5 * (labour.hours_low + labour.hours_high);
  out.fails = why_not(c, s);
  if (unset_by_playing(base).empty()) out.unset = unset_by_playing(changed);
  out.over_limit = broken_limit(d, base, changed);
  out.invented_share = invented_share(d, c, s);
  for (const judgement::Measure& m : measures)
    out.change.push_back({value_of(changed, m.key) - value_of(base, m.key), per_doubt(c, s, m.key)});
  return out;
}

}  // namespace

Question ask(const CaseDescription& d, const Comparison& c) {
  Question q;
  q.measures = wanted_measures(d);
  q.with_odds = !c.inputs.empty();
  q.weighed = !d.told.empty() && d.has("measured.down_weight") && d.has("measured.up_weight");
  for (const Input& in : c.inputs) {
    q.doubts.push_back(in.name + "; " + how_to_settle(d, in));
    q.ungauged.push_back(is_ungauged(d, in));
    q.invented_values += is_invented(d, in) ? 1 : 0;
  }
  judgement::Note note;
  note.name = d.choices.count("note.name") ? d.choice("note.name") : "";
  note.sharp = d.choices.count("note.kind") && d.choice("note.kind") == "sharp";
  note.fails = why_not(c, 0);
  for (const judgement::Measure& m : q.measures)
    note.base.push_back({value_of(c.set_ups[0], m.key), per_doubt(c, 0, m.key)});
  for (std::size_t s = 1; s < c.set_ups.size(); ++s) note.moves.push_back(move_of(d, c, s, q.measures));
  q.notes.push_back(std::move(note));
  return q;
}

int judged_place(const Question& q, MeasureIndex k) {
  for (std::size_t i = 0; i < q.measures.size(); ++i)
    if (q.measures[i].key == kMeasures[k].key) return static_cast<int>(i);
  return -1;
}

void judge_comparison(const CaseDescription& d, Comparison& c) {
  if (c.set_ups.empty()) return;
  c.question = ask(d, c);
  c.judged = judgement::judge(c.question);
  for (std::size_t s = 0; s < c.set_ups.size(); ++s) {
    SetUpResult& set_up = c.set_ups[s];
    for (std::size_t k = 0; s > 0 && k < kMeasureCount; ++k) {
      const int place = judged_place(c.question, static_cast<MeasureIndex>(k));
      if (place < 0) continue;
      const judgement::Said& said = c.judged.moves[s - 1].notes.front()[static_cast<std::size_t>(place)];
      set_up.results[k].judgement = said.word;
      set_up.results[k].nearer = said.nearer;
    }
    set_up.verdict = write_verdict(c, s);
  }
}

}  // namespace leverwright::study

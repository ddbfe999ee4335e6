#include "viz/table/write_json.h"

#include <cmath>

#include "models/judgement/sentences.h"
#include "models/study/remedies.h"
#include "models/study/sample_notes.h"
#include "sim/base/version.h"
#include "viz/table/answer.h"
#include "viz/table/bench_table.h"
#include "viz/table/cautions.h"
#include "viz/table/compare_table.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"
#include "viz/table/numbers.h"

namespace leverwright::table {

namespace {

Json write_set_up(const case_file::CaseDescription& d, const study::Comparison& c, std::size_t k) {
  const study::SetUpResult& s = c.set_ups[k];
  Json out;
  out["name"] = s.name;
  out["description"] = s.description;
  out["is_base"] = k == 0;
  out["regulated_to_specification"] = s.regulated_ok;
  out["weighed"] = s.weighing.ok;
  out["reversible"] = reversible(d.set_ups[k]);
  Json kinds = Json::array();
  for (const auto& change : d.set_ups[k].changes) kinds.push_back(change.kind());
  out["changes"] = kinds;
  Json remedies = Json::array();
  for (const auto& line : study::find_remedies(d.set_ups[k], c.set_ups[0].design, s.design))
    remedies.push_back(Json{{"kind", line.kind},
                            {"hand", line.hand},
                            {"alters", line.spec->alters},
                            {"side_effects", line.spec->side_effects},
                            {"reversible", line.spec->reversible},
                            {"undone", judgement::undone_words(line.undone)},
                            {"labour_per", line.spec->labour.per},
                            {"hours_low", line.spec->labour.hours_low},
                            {"hours_high", line.spec->labour.hours_high},
                            {"worry", line.spec->worry},
                            {"cautions", line.spec->hazards}});
  out["remedies"] = remedies;
  out["verdict"] = verdict_of(c, k);
  out["judged"] = judged_json(c, k);
  Json numbers = Json::array();
  for (const NumberLine& n : find_numbers(s, k == 0 ? nullptr : &c.set_ups[0], has_uncertainty(c))) {
    Json line{{"group", n.group}, {"key", n.key}, {"name", n.name}, {"value", n.value}, {"unit", n.unit}};
    if (n.group == "measure") {
      line["sigma"] = n.sigma;
      line["change"] = n.change;
      line["sigma_of_change"] = n.sigma_of_change;
      if (!n.judgement.empty()) line["judgement"] = n.judgement;
      if (std::isfinite(n.nearer)) line["odds_nearer"] = n.nearer;
      if (!n.dominant.empty()) line["largest_uncertainty"] = n.dominant;
    }
    if (!n.why_absent.empty()) line["absent_because"] = n.why_absent;
    if (n.group.rfind("touch", 0) == 0) line["change"] = n.change;
    numbers.push_back(line);
  }
  out["numbers"] = numbers;
  Json touches = Json::array();
  for (const auto& t : s.touches) {
    Json faults = Json::array();
    for (const auto f : t.stroke.faults) faults.push_back(action::name_of(f));
    touches.push_back(Json{{"name", t.name},
                           {"hammer_speed_wanted", t.wanted_speed},
                           {"found", t.found.found},
                           {"lets_off", t.stroke.happened(action::kJackTrips)},
                           {"reaches_string", t.stroke.happened(action::kStringContact)},
                           {"is_checked", std::isfinite(t.stroke.measures.check_distance)},
                           {"resets", t.stroke.happened(action::kJackReset)},
                           {"faults", faults},
                           {"stopped", t.stroke.stopped}});
  }
  out["touches"] = touches;
  Json screws = Json::array();
  if (s.weighing.ok)
    for (const ScrewAdvice& a : find_screw_advice(s))
      screws.push_back(Json{{"screw", a.screw},
                            {"leave", a.leave},
                            {"direction", a.direction},
                            {"amount", a.amount},
                            {"left", a.left}});
  out["screws"] = screws;
  out["warnings"] = s.weighing.warnings;
  Json failures = Json::array();
  for (const auto& f : s.regulated.failures)
    failures.push_back(Json{{"requirement", f.requirement}, {"advice", f.advice}});
  out["not_met"] = failures;
  return out;
}

Json write_spread(const study::Spread& s, double f) {
  Json out{{"count", s.count},
           {"mean", s.mean * f},
           {"sd", s.sd * f},
           {"low", s.low * f},
           {"high", s.high * f},
           {"sd_error", s.sd_error * f},
           {"largest_uncertainty", s.dominant},
           {"first_order_share", s.dominant_share}};
  return out;
}

Json write_monte_carlo(const study::Comparison& c) {
  const auto& mc = *c.monte_carlo;
  Json out{{"samples_asked", mc.asked}, {"samples_done", mc.done}, {"seed", mc.seed}};
  Json set_ups = Json::array();
  for (std::size_t s = 0; s < mc.set_ups.size(); ++s) {
    Json measures = Json::array();
    for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
      const auto& info = study::kMeasures[k];
      const auto& m = mc.set_ups[s][k];
      Json line{{"key", info.key},
                {"unit", info.display_unit},
                {"value", write_spread(m.value, info.display_factor)},
                {"value_agrees_with_linear", m.value_agrees}};
      if (s > 0) {
        line["change"] = write_spread(m.difference, info.display_factor);
        line["change_agrees_with_linear"] = m.difference_agrees;
        line["share_nearer_to_target"] = m.nearer;
        line["judgement"] = judgement_word(m.judgement);
      }
      measures.push_back(line);
    }
    Json failed_for = Json::object();
    for (const auto& [why, times] : mc.failed_for[s]) failed_for[why] = times;
    set_ups.push_back(Json{{"name", c.set_ups[s].name},
                           {"samples_failed", mc.failed[s]},
                           {"failed_for", failed_for},
                           {"measures", measures}});
  }
  out["set_ups"] = set_ups;
  out["disagreements"] = mc.disagreements;
  return out;
}

Json write_notes_plans(const study::Comparison& c) {
  Json out = Json::array();
  for (const auto& p : study::plan_sample_notes(c)) {
    const auto& info = study::kMeasures[p.measure];
    const double f = info.display_factor;
    out.push_back(Json{{"of", c.set_ups[p.a].name},
                       {"and", c.set_ups[p.b].name},
                       {"key", info.key},
                       {"unit", info.display_unit},
                       {"difference", p.difference * f},
                       {"scatter_per_note_measured", p.predicted_scatter * f},
                       {"common_measured", p.predicted_common * f},
                       {"notes_measured", p.notes_predicted},
                       {"scatter_per_note_tried", p.tried_scatter * f},
                       {"notes_tried", p.notes_tried}});
  }
  return out;
}

}  // namespace

std::string write_json(const case_file::CaseDescription& d, const study::Comparison& c,
                       const std::string& status) {
  Json out;
  out["format"] = "leverwright comparison";
  out["format_version"] = kJsonVersion;
  out["software_version"] = base::kVersion;
  out["status"] = status;
  out["case"] = d.path;
  out["title"] = d.title;
  out["invented"] = d.invented;
  out["policy"] = d.choice("regulation.policy");
  out["uncertainty"] = has_uncertainty(c);
  out["sigma_means"] = "one standard deviation";
  out["warnings"] = c.warnings;
  out["answer"] = answer_json(c);
  Json set_ups = Json::array();
  for (std::size_t k = 0; k < c.set_ups.size(); ++k) set_ups.push_back(write_set_up(d, c, k));
  out["set_ups"] = set_ups;
  if (c.monte_carlo) out["monte_carlo"] = write_monte_carlo(c);
  if (has_uncertainty(c)) out["sample_notes"] = write_notes_plans(c);
  Json cautions = Json::array();
  for (const Caution& caution : find_cautions(remedies_of(d, c)))
    cautions.push_back(Json{{"about", caution.about}, {"text", caution.text}});
  out["cautions"] = cautions;
  return out.dump(2) + "\n";
}

std::string write_csv(const case_file::CaseDescription&, const study::Comparison& c) {
  std::string out =
      join_csv({"set_up", "group", "key", "name", "unit", "value", "sigma", "change", "sigma_of_change",
                "judgement", "largest_uncertainty", "odds_nearer", "absent_because"});
  for (const auto& [label, text] : judgement::answer_lines(c.question, c.judged))
    out += join_csv({"", "answer", label, text, "", "", "", "", "", "", "", "", ""});
  for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
    if (k > 0)
      out += join_csv(
          {c.set_ups[k].name, "move", "undone", judgement::undone_words(c.set_ups[k].undone), "", "", "", "",
           "", c.judged.moves.empty() ? "" : judgement::words_of(c.judged.moves[k - 1].word), "", "", ""});
    for (const NumberLine& n :
         find_numbers(c.set_ups[k], k == 0 ? nullptr : &c.set_ups[0], has_uncertainty(c)))
      out += join_csv({c.set_ups[k].name, n.group, n.key, n.name, n.unit, csv_number(n.value),
                       csv_number(n.sigma), csv_number(n.change), csv_number(n.sigma_of_change), n.judgement,
                       n.dominant, csv_number(n.nearer), n.why_absent});
  }
  return out;
}

}  // namespace leverwright::table

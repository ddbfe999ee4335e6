#include "viz/page/core/answers.h"

#include <algorithm>
#include <cmath>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/judgement/sentences.h"
#include "models/remedies/all.h"
#include "models/study/judge_comparison.h"
#include "models/study/quantities.h"
#include "models/study/remedies.h"
#include "sim/base/units.h"
#include "viz/table/cautions.h"

namespace leverwright::page {

using case_file::ArgumentSpec;
using case_file::WordsFrom;

namespace {

constexpr double kToGf = 1 / base::kGramForce, kToMm = 1e3;

Json numbers(const std::vector<double>& values, double factor = 1) {
  Json out = Json::array();
  for (const double v : values) out.push_back(number(v * factor));
  return out;
}

Json argument(const ArgumentSpec& a) {
  Json out{{"name", a.name},
           {"group", std::string(1, a.group)},
           {"required", a.presence == case_file::Presence::kRequired},
           {"description", a.description},
           {"default", a.default_text}};
  if (a.words_from != WordsFrom::kQuantity) {
    out["words"] = a.words;
    if (a.words_from == WordsFrom::kContactPlace) {
      Json words = Json::array();
      for (const auto& p : case_file::schema().places) words.push_back(p.name);
      out["words"] = words;
    }
    out["free"] = a.words_from == WordsFrom::kValueText || a.words_from == WordsFrom::kKeyPath ||
                  a.words_from == WordsFrom::kPartId || a.words_from == WordsFrom::kMaterialId ||
                  a.words_from == WordsFrom::kSlot;
    return out;
  }
  out["unit"] = case_file::trade_unit(a.dimension);
  if (!a.range.empty()) {
    const auto range = case_file::read_range(a.range, a.dimension);
    const double unit = case_file::trade_unit_in_si(a.dimension);
    out["low"] = number(range.low / unit);
    out["high"] = number(range.high / unit);
  }
  return out;
}

Json remedy(const case_file::Remedy& r) {
  Json out{{"kind", r.row.kind},
           {"description", r.row.description},
           {"side_effects", r.row.side_effects},
           {"reversible", r.row.reversible},
           {"undone", r.row.undone},
           {"undone_words", judgement::undone_words(r.row.undone)},
           {"worry", r.row.worry},
           {"labour", case_file::labour_words(r.row.labour)},
           {"arguments", Json::array()}};
  for (const auto& a : r.row.arguments) out["arguments"].push_back(argument(a));
  return out;
}

std::string cautions_of(const case_file::SetUp& set_up) {
  case_file::RemedyList list;
  for (const auto& c : set_up.changes)
    if (std::find(list.begin(), list.end(), c.remedy) == list.end()) list.push_back(c.remedy);
  return table::short_cautions(list);
}

Json curve(const std::vector<run::StaticSample>& samples) {
  std::vector<double> dip, force;
  for (const auto& s : samples) {
    dip.push_back(s.travel);
    force.push_back(s.force);
  }
  return {{"dip", numbers(dip, kToMm)}, {"force", numbers(force, kToGf)}};
}

Json ledger(const study::SetUpResult& s) {
  Json rows = Json::array();
  for (const auto& row : s.facts.ledger.rows) {
    static constexpr const char* kKinds[] = {"rubbing", "cloth", "centre", "stored"};
    rows.push_back({{"name", row.name},
                    {"kind", kKinds[static_cast<int>(row.kind)]},
                    {"amount", number(row.amount * kToGf)}});
  }
  return rows;
}

Json slide(const study::SetUpResult& s) {
  std::vector<double> dip, place, normal;
  for (const auto& p : s.facts.slides[0].points) {
    dip.push_back(p.travel);
    place.push_back(p.touching ? p.s_b : std::nan(""));
    normal.push_back(p.touching ? p.normal : std::nan(""));
  }
  return {{"dip", numbers(dip, kToMm)},
          {"place", numbers(place, kToMm)},
          {"normal", numbers(normal, kToGf)},
          {"face", {number(s.design.lifting_face_from * kToMm), number(s.design.lifting_face_to * kToMm)}}};
}

Json screws(const study::SetUpResult& s) {
  Json out = Json::array();
  for (std::size_t k = 0; k < action::kScrewCount; ++k)
    out.push_back({{"setting", number(s.regulated.screws[k])},
                   {"pitch", number(s.design.screws[k].pitch)},
                   {"up", number(s.design.screws[k].up)},
                   {"down", number(s.design.screws[k].down)}});
  return out;
}

}  // namespace

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

SetUpText read_set_up(const Json& in) {
  SetUpText out;
  out.name = in.value("name", "");
  out.description = in.value("description", "");
  out.from = in.value("from", 0);
  out.to = in.value("to", 0);
  out.as_it_is = in.value("as_it_is", false);
  for (const auto& change : in.at("changes")) {
    ChangeText c;
    c.kind = change.at("kind");
    for (const auto& [key, value] : change.at("arguments").items()) c.arguments.emplace_back(key, value);
    out.changes.push_back(std::move(c));
  }
  return out;
}

Json to_json(const SetUpText& s) {
  Json out{{"name", s.name}, {"description", s.description}, {"from", s.from},
           {"to", s.to},     {"as_it_is", s.as_it_is},       {"changes", Json::array()}};
  for (const auto& c : s.changes) {
    Json arguments = Json::object();
    for (const auto& [key, value] : c.arguments) arguments[key] = value;
    out["changes"].push_back({{"kind", c.kind}, {"arguments", arguments}});
  }
  return out;
}

Json catalogue() {
  Json out{{"remedies", Json::array()}, {"quantities", Json::array()}, {"keys", Json::array()},
           {"screws", Json::array()},   {"events", Json::array()},     {"cautions", Json::array()}};
  for (const auto* r : remedies::all()) out["remedies"].push_back(remedy(*r));
  for (std::size_t k = 0; k < study::kOwnCount; ++k) {
    const auto& q = study::kQuantities[k];
    out["quantities"].push_back({{"key", q.key},
                                 {"name", q.name},
                                 {"label", q.label},
                                 {"unit", q.display_unit},
                                 {"decimals", q.decimals},
                                 {"group", q.group},
                                 {"how_read", q.how_read}});
  }
  for (const auto& [path, key] : case_file::schema().keys)
    if (path.rfind("measured.", 0) == 0 || path.rfind("regulation.", 0) == 0)
      out["keys"].push_back({{"path", path},
                             {"unit", case_file::trade_unit(key.dimension)},
                             {"description", key.description},
                             {"range", key.range}});
  for (std::size_t k = 0; k < action::kScrewCount; ++k) {
    const auto screw = static_cast<action::Screw>(k);
    out["screws"].push_back({{"name", action::kScrewNames[k]},
                             {"more", study::turn_direction(screw, true)},
                             {"less", study::turn_direction(screw, false)},
                             {"spring", k == action::kRepetitionSpring}});
  }
  for (int k = 0; k < static_cast<int>(scene::Role::kCount); ++k) {
    const auto colour = scene::oklch(static_cast<scene::Role>(k));
    out["roles"][word_of(static_cast<scene::Role>(k))] = {colour.L, colour.C, colour.h};
  }
  out["policies"] = case_file::schema().find_choice("regulation.policy")->words;
  for (const char* name : action::kStrokeEventNames) out["events"].push_back(name);
  for (const auto& c : table::all_cautions())
    out["cautions"].push_back({{"about", c.about}, {"text", c.text}});
  return out;
}

Json weighed(const study::SetUpResult& s, const case_file::SetUp& changes,
             const action::ActionDesign& base_design) {
  Json out{{"ok", s.weighing.ok},       {"why", study::why_no_answer(s)},
           {"undone", s.undone},        {"undone_words", judgement::undone_words(s.undone)},
           {"failures", Json::array()}, {"warnings", s.weighing.warnings},
           {"hand", Json::array()},     {"cautions", cautions_of(changes)}};
  for (const auto& f : s.regulated.failures)
    out["failures"].push_back({{"requirement", f.requirement}, {"advice", f.advice}});
  for (const auto& line : study::find_remedies(changes, base_design, s.design))
    out["hand"].push_back({{"kind", line.kind},
                           {"words", line.hand},
                           {"undone", line.undone},
                           {"undone_words", judgement::undone_words(line.undone)},
                           {"worry", line.spec->worry},
                           {"side_effects", line.spec->side_effects}});
  out["numbers"] = Json::array();
  out["absent"] = Json::object();
  for (std::size_t k = 0; k < study::kOwnCount; ++k) {
    const auto& q = study::kQuantities[k];
    const auto reading = study::read_quantity(q, s);
    out["numbers"].push_back(number(reading.value * q.display_factor));
    if (!reading.why_absent.empty()) out["absent"][q.key] = reading.why_absent;
  }
  out["screws"] = screws(s);
  if (!s.weighing.ok) return out;
  out["down"] = curve(s.weighing.down);
  out["up"] = curve(s.weighing.up);
  out["window"] = {s.weighing.window_from * kToMm, s.weighing.window_to * kToMm};
  out["dip_let_off"] = s.regulated.dip_let_off * kToMm;
  out["ledger"] = ledger(s);
  out["slide"] = slide(s);
  return out;
}

Json stroke(const study::PlayedTouch& t) {
  const auto& r = t.stroke;
  Json events = Json::array(), faults = Json::array();
  for (std::size_t k = 0; k < action::kStrokeEventCount; ++k)
    if (std::isfinite(r.event[k]))
      events.push_back({{"name", action::kStrokeEventNames[k]}, {"time", r.event[k]}});
  std::stable_sort(events.begin(), events.end(),
                   [](const Json& a, const Json& b) { return a["time"] < b["time"]; });
  for (const auto f : r.faults) faults.push_back(action::name_of(f));
  const auto& m = r.measures;
  return {{"name", t.name},
          {"found", t.found.found},
          {"advice", t.found.advice},
          {"plateau", number(t.found.touch.plateau)},
          {"events", events},
          {"faults", faults},
          {"explained", t.explained},
          {"stopped", r.stopped},
          {"measures",
           {{"hammer_speed", number(m.hammer_speed)},
            {"travel_time", number(m.travel_time * 1e3)},
            {"key_bottom_after_string", number(m.key_bottom_after_string * 1e3)},
            {"string_time", number(m.string_time * 1e3)},
            {"peak_force", number(m.peak_force)},
            {"check_distance", number(m.check_distance * kToMm)}}},
          {"time", numbers(r.series.time)},
          {"dip", numbers(r.series.dip, kToMm)},
          {"gap", numbers(r.series.string_gap, kToMm)},
          {"force", numbers(r.series.finger_force)},
          {"hammer_speed", numbers(r.series.hammer_speed)}};
}

Json judged(const case_file::CaseDescription& d, const study::Comparison& c) {
  Json out{{"set_ups", Json::array()},
           {"answer", Json::array()},
           {"warnings", c.warnings},
           {"cautions", table::short_cautions(table::remedies_of(d, c))}};
  for (const auto& [label, text] : judgement::answer_lines(c.question, c.judged))
    out["answer"].push_back({{"label", label}, {"text", text}});
  for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
    const auto& s = c.set_ups[k];
    Json measures = Json::array();
    for (std::size_t m = 0; m < study::kMeasureCount; ++m) {
      const auto& q = study::kQuantities[m];
      const auto& r = s.results[m];
      const int place = study::judged_place(c.question, static_cast<study::MeasureIndex>(m));
      Json row{{"key", q.key},
               {"value", number(r.value * q.display_factor)},
               {"sigma", number(r.sigma * q.display_factor)},
               {"change", number(r.difference * q.display_factor)},
               {"sigma_change", number(r.sigma_difference * q.display_factor)},
               {"dominant", r.dominant},
               {"word", judgement::words_of(r.judgement)}};
      if (place >= 0) {
        const auto& measure = c.question.measures[static_cast<std::size_t>(place)];
        row["noticeable"] = measure.noticeable;
        row["wanted"] = judgement::wanted_words(measure);
      }
      measures.push_back(row);
    }
    out["set_ups"].push_back({{"name", s.name},
                              {"regulated", s.regulated_ok},
                              {"ok", s.weighing.ok},
                              {"undone", s.undone},
                              {"undone_words", judgement::undone_words(s.undone)},
                              {"sentence", s.verdict},
                              {"measures", measures}});
  }
  return out;
}

}  // namespace leverwright::page

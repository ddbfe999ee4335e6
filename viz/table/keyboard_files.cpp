#include <fmt/format.h>

#include <cmath>

#include "models/keyboard/write_keyboard.h"
#include "models/remedies/all.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/table/cautions.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"
#include "viz/table/keyboard_table.h"

namespace leverwright::table {

using namespace keyboard;
using study::kMeasures;

namespace {

constexpr double kGf = 1 / base::kGramForce, kMm = 1e3, kG = 1e3;
constexpr const char* kWays[] = {"fewest", "least_inertia", "least_lead"};

Json line_json(const CapstanLine& line) {
  Json sections = Json::array();
  for (const LineSection& s : line.sections)
    sections.push_back(Json{{"from_note", s.from},
                            {"to_note", s.to},
                            {"at_from_mm", s.at_from * kMm},
                            {"at_to_mm", s.at_to * kMm}});
  return Json{{"sections", sections},
              {"rms_miss_mm", line.rms * kMm},
              {"worst_miss_mm", line.worst * kMm},
              {"worst_note", line.worst_note}};
}

Json carried_json(const Keyboard& k) {
  Json out = Json::array();
  for (std::size_t c = 0; c < k.carried.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    const Carried& carried = k.carried[c];
    const double f = column.display_factor;
    Json samples = Json::array(), notes = Json::array();
    for (const JudgedSample& s : carried.samples) {
      const double v = column.logarithmic ? std::exp(s.value) : s.value,
                   e = column.logarithmic ? std::exp(s.expected) : s.expected;
      samples.push_back(
          Json{{"note", s.note}, {"value", v * f}, {"expected", e * f}, {"outlier", s.outlier}});
    }
    for (int note = kFirstNote; note <= kLastNote; ++note) {
      const NoteValue v = value_at(column, carried, note);
      notes.push_back(Json{{"note", note},
                           {"value", v.value * f},
                           {"sigma", v.sigma * f},
                           {"low", v.low * f},
                           {"high", v.high * f},
                           {"extrapolated", carried.at(note).extrapolated}});
    }
    out.push_back(Json{
        {"key", column.key},
        {"name", column.name},
        {"unit", column.display_unit},
        {"degree", carried.degree},
        {"apart", carried.apart},
        {"degrees_of_freedom", carried.freedom},
        {"scatter", carried.scatter_known ? Json(carried.scatter * (column.logarithmic ? 1 : f)) : Json()},
        {"samples_to_halve", carried.samples_to_halve},
        {"samples", samples},
        {"notes", notes}});
  }
  return out;
}

Json leads_json(const Keyboard& k) {
  Json out = Json::array();
  if (k.leads.empty()) return out;
  for (const int note : k.notes) {
    const NoteLeads& l = k.leads[static_cast<std::size_t>(note - 1)];
    Json row{{"note", note},
             {"wanted_front_weight_gf", l.wanted_front_weight * kGf},
             {"bare_front_weight_gf", l.bare_front_weight * kGf},
             {"front_weight_limit_gf", l.front_weight_limit * kGf},
             {"spring_gf", l.spring * kGf},
             {"spring_over_limit_gf", l.spring_over_limit * kGf}};
    for (std::size_t p = 0; p < l.plans.size(); ++p) {
      Json leads = Json::array();
      for (const auto& lead : l.plans[p].leads)
        leads.push_back(Json{{"mass_g", lead.mass * kG}, {"distance_mm", lead.distance * kMm}});
      row[kWays[p]] = Json{{"found", l.plans[p].found},
                           {"leads", leads},
                           {"front_weight_gf", l.front_weight(static_cast<LeadWish>(p)) * kGf},
                           {"error_gf", l.plans[p].error * kGf},
                           {"reflected_g", l.plans[p].reflected * kG}};
    }
    out.push_back(row);
  }
  return out;
}

}  // namespace

std::string write_keyboard_json(const std::string& case_path, const Keyboard& k) {
  Json out{{"format", "leverwright keyboard"},
           {"format_version", 1},
           {"software_version", base::kVersion},
           {"case", case_path},
           {"status", k.complete ? "complete" : "stopped"},
           {"sigma_means", "one standard deviation"},
           {"sampled", k.input.sampled},
           {"carried", carried_json(k)}};
  Json wanted = Json::array();
  for (const WantedPlaces& w : k.wanted) {
    Json places = Json::array();
    for (int note = kFirstNote; note <= kLastNote; ++note)
      places.push_back(w.place[static_cast<std::size_t>(note - 1)] * kMm);
    wanted.push_back(Json{{"wish", words_of(w.wish)},
                          {"places_mm", places},
                          {"least_squares", line_json(w.squares)},
                          {"least_worst", line_json(w.worst)},
                          {"broken", w.broken ? line_json(*w.broken) : Json()}});
  }
  out["wanted_capstans"] = wanted;
  Json courses = Json::array();
  for (const Course& c : k.courses) {
    Json notes = Json::array();
    for (const int note : k.notes) {
      const auto i = static_cast<std::size_t>(note - 1);
      Json row{{"note", note}, {"capstan_place_mm", c.place[i] * kMm}};
      for (std::size_t q = 0; q < study::kMeasureCount; ++q)
        if (c.kind != CourseKind::kSprings || q != study::kWeightRatio)
          row[kMeasures[q].key] = c.measures[i][q] * kMeasures[q].display_factor;
      if (!c.why_not[i].empty()) row["why_not"] = c.why_not[i];
      if (c.kind == CourseKind::kAsFound && k.bands)
        for (const auto q : {study::kDownWeight, study::kUpWeight, study::kFriction, study::kReflectedMass}) {
          row[std::string(kMeasures[q].key) + "_sigma"] = k.bands->total[i][q] * kMeasures[q].display_factor;
          row[std::string(kMeasures[q].key) + "_sigma_carried"] =
              k.bands->carried[i][q] * kMeasures[q].display_factor;
        }
      notes.push_back(row);
    }
    courses.push_back(Json{{"key", c.key}, {"name", c.name}, {"notes", notes}});
  }
  Json units = Json::object();
  for (const auto& info : kMeasures) units[info.key] = info.display_unit;
  out["measure_units"] = units;
  out["courses"] = courses;
  out["leads"] = leads_json(k);
  out["in_words"] = keyboard_sentences(k);
  case_file::RemedyList list{&remedies::capstan_moved()};
  if (!k.leads.empty()) list.insert(list.end(), {&remedies::lead(), &remedies::assist_spring()});
  Json cautions = Json::array();
  for (const Caution& c : find_cautions(list)) cautions.push_back(Json{{"about", c.about}, {"text", c.text}});
  out["cautions"] = cautions;
  return out.dump(1) + "\n";
}

std::string write_keyboard_csv(const Keyboard& k) {
  std::vector<std::string> heads{"note", "name", "kind", "sampled"};
  const auto unit_word = [](std::string unit) {
    for (char& c : unit)
      if (c == ' ' || c == '/') c = '_';
    return unit == "1" ? std::string() : "_" + unit;
  };
  for (const SampleColumn& c : k.input.columns) {
    const std::string unit = unit_word(c.display_unit);
    for (const char* tail : {"", "_sigma", "_low", "_high"}) heads.push_back(column_word(c) + tail + unit);
  }
  for (const WantedPlaces& w : k.wanted)
    for (const char* what : {"wanted", "least_squares", "least_worst"}) {
      std::string wish = words_of(w.wish);
      for (char& c : wish)
        if (c == ' ') c = '_';
      heads.push_back(fmt::format("capstan_{}_{}_mm", wish, what));
    }
  for (const Course& c : k.courses)
    for (const auto& info : kMeasures)
      heads.push_back(fmt::format("{}_{}{}", c.key, info.key, unit_word(info.display_unit)));
  if (k.bands)
    for (const auto& info : kMeasures)
      heads.push_back(fmt::format("as_found_{}_sigma{}", info.key, unit_word(info.display_unit)));
  if (!k.leads.empty())
    for (const char* head :
         {"wanted_front_weight_gf", "bare_front_weight_gf", "fewest_leads", "fewest_front_weight_gf",
          "fewest_reflected_g", "least_inertia_leads", "least_inertia_reflected_g", "least_lead_leads",
          "least_lead_reflected_g", "spring_gf", "spring_over_limit_gf"})
      heads.emplace_back(head);
  std::string out = join_csv(heads);
  const auto lead_text = [](const LeadPlan& plan) {
    std::string text;
    for (const auto& lead : plan.leads)
      text +=
          fmt::format("{}{:g} g at {:g} mm", text.empty() ? "" : "; ", lead.mass * kG, lead.distance * kMm);
    return text.empty() ? std::string("none") : text;
  };
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    bool sampled = false;
    for (const int one : k.input.sampled) sampled = sampled || one == note;
    std::vector<std::string> line{std::to_string(note), note_name(note), is_sharp(note) ? "sharp" : "natural",
                                  sampled ? "1" : "0"};
    for (std::size_t c = 0; c < k.input.columns.size(); ++c) {
      const SampleColumn& column = k.input.columns[c];
      const NoteValue v = value_at(column, k.carried[c], note);
      for (const double x : {v.value, v.sigma, v.low, v.high})
        line.push_back(csv_number(x * column.display_factor));
    }
    for (const WantedPlaces& w : k.wanted)
      for (const double x : {w.place[i], w.squares.place[i], w.worst.place[i]})
        line.push_back(csv_number(x * kMm));
    for (const Course& c : k.courses)
      for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
        const bool told = c.kind != CourseKind::kSprings || q != study::kWeightRatio;
        line.push_back(told ? csv_number(c.measures[i][q] * kMeasures[q].display_factor) : "");
      }
    if (k.bands)
      for (std::size_t q = 0; q < study::kMeasureCount; ++q)
        line.push_back(csv_number(k.bands->total[i][q] * kMeasures[q].display_factor));
    if (!k.leads.empty()) {
      const NoteLeads& l = k.leads[i];
      line.insert(line.end(), {csv_number(l.wanted_front_weight * kGf), csv_number(l.bare_front_weight * kGf),
                               lead_text(l.plans[0]), csv_number(l.front_weight(LeadWish::kFewest) * kGf),
                               csv_number(l.plans[0].reflected * kG), lead_text(l.plans[1]),
                               csv_number(l.plans[1].reflected * kG), lead_text(l.plans[2]),
                               csv_number(l.plans[2].reflected * kG), csv_number(l.spring * kGf),
                               csv_number(l.spring_over_limit * kGf)});
    }
    out += join_csv(line);
  }
  return out;
}

}  // namespace leverwright::table

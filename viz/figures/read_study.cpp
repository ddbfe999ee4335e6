#include "viz/figures/read_study.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "sim/base/error.h"
#include "sim/store/study_reader.h"
#include "viz/figures/read_scene.h"

namespace leverwright::figures {
namespace {
using store::StudyReader;

std::vector<double> column_of(const StudyReader& in, const std::string& path) {
  return in.has(path) ? in.read_series(path).values : std::vector<double>{};
}

std::optional<double> attribute(const StudyReader& in, const std::string& path, const std::string& name) {
  if (!in.has(path) || !in.has_attribute(path, name)) return std::nullopt;
  return in.number_attribute(path, name);
}

std::optional<double> find_number(const StudyReader& in, const std::string& table, const std::string& name) {
  for (const store::Number& n : in.read_numbers(table))
    if (n.name == name) return n.value;
  return std::nullopt;
}

std::optional<double> find_let_off_dip(const StudyReader& in, const std::string& at) {
  if (const auto dip = attribute(in, at + "/statics/down", "let_off_dip")) return dip;
  return attribute(in, at + "/scene/positions", "dip_let_off");
}

ForceDipCurve read_force_dip(const StudyReader& in, const std::string& at, const std::string& name) {
  ForceDipCurve c;
  c.set_up = name;
  c.dip_down = column_of(in, at + "/statics/down/dip");
  c.force_down = column_of(in, at + "/statics/down/force");
  c.dip_up = column_of(in, at + "/statics/up/dip");
  c.force_up = column_of(in, at + "/statics/up/force");
  c.down_weight = find_number(in, at + "/numbers", "down weight");
  c.up_weight = find_number(in, at + "/numbers", "up weight");
  c.let_off_dip = find_let_off_dip(in, at);
  return c;
}

std::optional<SlidePath> read_slide(const StudyReader& in, const std::string& at, const std::string& name) {
  if (!in.has(at + "/slide/C3/place_on_heel")) return std::nullopt;
  SlidePath s;
  s.set_up = name;
  s.dip = column_of(in, at + "/slide/C3/dip");
  s.place = column_of(in, at + "/slide/C3/place_on_heel");
  s.normal_force = column_of(in, at + "/slide/C3/normal_force");
  const std::string surface = at + "/scene/features/heel_surface";
  if (in.has(surface + "/points")) s.heel_surface = read_points(in, surface + "/points");
  s.face_from = attribute(in, surface, "face_from");
  s.face_to = attribute(in, surface, "face_to");
  return s;
}

// The study's own means; cloth and rubbing of a place have a row each.
std::optional<Ledger> read_ledger(const StudyReader& in, const std::string& at, const std::string& name) {
  const std::string path = at + "/statics/window/ledger";
  if (!in.has(path)) return std::nullopt;
  Ledger out;
  out.set_up = name;
  const store::Series means = in.read_series(path);
  for (std::size_t c = 0; c < means.columns && c < means.names.names.size(); ++c)
    if (means.names.names[c] != "stored energy")  // no place
      out.rows.push_back({means.names.names[c], means.at(0, c)});
  const auto down = find_number(in, at + "/numbers", "down weight"),
             up = find_number(in, at + "/numbers", "up weight");
  if (down && up) out.weighed = 0.5 * (*down - *up);
  return out;
}

void read_strokes(const StudyReader& in, const std::string& at, const std::string& name,
                  std::vector<Stroke>* out) {
  if (!in.has(at + "/strokes")) return;
  for (const std::string& touch : in.groups(at + "/strokes")) {
    const std::string path = at + "/strokes/" + touch;
    if (!in.has(path + "/key_dip") || !in.has(path + "/hammer_distance")) continue;
    Stroke s;
    s.set_up = name;
    s.touch = touch;
    s.time = column_of(in, path + "/time");
    s.key_dip = column_of(in, path + "/key_dip");
    s.hammer_distance = column_of(in, path + "/hammer_distance");
    s.hammer_speed = column_of(in, path + "/hammer_speed");
    s.key_speed = column_of(in, path + "/key_speed");
    if (in.has(path + "/energies")) {
      const store::Series energies = in.read_series(path + "/energies");
      s.energy_names = energies.names.names;
      s.energies.resize(s.energy_names.size());
      for (size_t c = 0; c < s.energies.size(); ++c)
        for (size_t r = 0; r < energies.rows; ++r) s.energies[c].push_back(energies.at(r, c));
    }
    if (in.has(path + "/events")) {
      const store::Table events = in.read_table(path + "/events");
      const store::Column* names = events.find("name");
      const store::Column* times = events.find("time");
      for (size_t i = 0; names != nullptr && times != nullptr && i < events.rows(); ++i)
        if (std::isfinite(times->numbers[i])) s.events.push_back({names->texts[i], times->numbers[i]});
    }
    out->push_back(std::move(s));
  }
}

// The measures a technician weighs a change by.
void read_changes(const StudyReader& in, const std::string& at, const std::string& name,
                  std::vector<Change>* out) {
  for (const char* measure : {"down weight", "up weight", "friction", "aftertouch"})
    for (const store::Number& n : in.read_numbers(at + "/numbers")) {
      if (n.name != measure || !std::isfinite(n.change_against_base)) continue;
      const double factor = n.display_factor();
      out->push_back({name, measure, n.display_unit, factor * n.change_against_base,
                      std::isfinite(n.sigma_of_change) ? factor * n.sigma_of_change : 0});
    }
}

// Without friction, as the ratio is defined, from rest until the tender meets its button: after that the jack
// goes and the ratio falls through zero at let-off. In files without that curve: with friction, over the
// stretch in which down weight is taken, from 1 mm on.
RatioCurve read_ratio(const StudyReader& in, const std::string& at, const std::string& name) {
  RatioCurve c{name, {}, {}, in.has(at + "/ratio/distance_ratio"), std::nullopt};
  const std::string from = at + (c.frictionless ? "/ratio" : "/statics/down");
  const std::vector<double> dip = column_of(in, from + "/dip"),
                            ratio = column_of(in, from + "/distance_ratio");
  c.button_dip = attribute(in, at + "/statics/down", "button_dip");
  const std::optional<double> end = c.button_dip ? c.button_dip : find_let_off_dip(in, at);
  constexpr double kHalf = 0.1e-3;  // of the stretch each value of the frictionless curve is the mean over
  const double last = end ? *end - (c.frictionless ? kHalf : 0) : INFINITY;
  for (size_t k = 0; k < dip.size() && k < ratio.size(); ++k) {
    if ((!c.frictionless && dip[k] < 1e-3) || dip[k] > last || !std::isfinite(ratio[k])) continue;
    c.dip.push_back(dip[k]);
    c.ratio.push_back(ratio[k]);
  }
  return c;
}

}  // namespace

StudyFigures read_study(const std::string& results_path) {
  const StudyReader in(results_path);
  StudyFigures study;
  study.path = results_path;
  for (const store::SetUpEntry& entry : in.set_ups()) {
    if (entry.status != "complete") continue;
    const std::string label = shown_name(in, entry, study.force_dip.empty());
    study.force_dip.push_back(read_force_dip(in, entry.path, label));
    if (auto slide = read_slide(in, entry.path, label)) study.slide_paths.push_back(std::move(*slide));
    if (auto ledger = read_ledger(in, entry.path, label)) study.ledgers.push_back(std::move(*ledger));
    read_strokes(in, entry.path, label, &study.strokes);
    RatioCurve ratio = read_ratio(in, entry.path, label);
    if (!ratio.dip.empty()) study.ratios.push_back(std::move(ratio));
    if (study.force_dip.size() > 1) read_changes(in, entry.path, label, &study.changes);
    add_moments(in, entry.path, label, &study.action);
  }
  if (study.force_dip.empty())
    throw base::UserError(results_path + " holds no finished set-up, so there is nothing to draw",
                          "run the study to its end, or see with 'check' why its set-ups failed");
  return study;
}

}  // namespace leverwright::figures

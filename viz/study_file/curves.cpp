#include "viz/study_file/curves.h"

#include <algorithm>
#include <cmath>

namespace leverwright::study_file {
namespace {

std::optional<double> find_let_off_dip(const StoredStudy& in, const std::string& at) {
  if (const auto dip = in.attribute(at + "/statics/down", "let_off_dip")) return dip;
  return in.attribute(at + "/scene/positions", "dip_let_off");
}

ForceDipCurve read_force_dip(const StoredStudy& in, const SetUp& set_up) {
  const std::string& at = set_up.at;
  ForceDipCurve c;
  c.set_up = set_up.label();
  c.dip_down = in.column(at + "/statics/down/dip");
  c.force_down = in.column(at + "/statics/down/force");
  c.dip_up = in.column(at + "/statics/up/dip");
  c.force_up = in.column(at + "/statics/up/force");
  c.down_weight = set_up.number("down weight");
  c.up_weight = set_up.number("up weight");
  c.let_off_dip = find_let_off_dip(in, at);
  return c;
}

std::optional<SlidePath> read_slide(const StoredStudy& in, const SetUp& set_up) {
  const std::string& at = set_up.at;
  if (!in.in().has(at + "/slide/C3/place_on_heel")) return std::nullopt;
  SlidePath s;
  s.set_up = set_up.label();
  s.dip = in.column(at + "/slide/C3/dip");
  s.place = in.column(at + "/slide/C3/place_on_heel");
  s.normal_force = in.column(at + "/slide/C3/normal_force");
  const std::string surface = at + "/scene/features/heel_surface";
  if (in.in().has(surface + "/points")) s.heel_surface = in.points(surface + "/points");
  s.face_from = in.attribute(surface, "face_from");
  s.face_to = in.attribute(surface, "face_to");
  return s;
}

// The study's own means; cloth and rubbing of a place have a row each.
std::optional<Ledger> read_ledger(const StoredStudy& in, const SetUp& set_up) {
  const std::string& at = set_up.at;
  const std::string path = at + "/statics/window/ledger";
  if (!in.in().has(path)) return std::nullopt;
  Ledger out;
  out.set_up = set_up.label();
  const store::Series means = in.in().read_series(path);
  if (means.rows == 0) return std::nullopt;
  for (std::size_t c = 0; c < means.columns && c < means.names.names.size(); ++c)
    if (means.names.names[c] != "stored energy")  // no place
      out.rows.push_back({means.names.names[c], means.at(0, c)});
  const auto down = set_up.number("down weight"), up = set_up.number("up weight");
  if (down && up) out.weighed = 0.5 * (*down - *up);
  return out;
}

void read_strokes(const StoredStudy& in, const SetUp& set_up, std::vector<Stroke>* out) {
  const std::string& at = set_up.at;
  for (const std::string& touch : in.groups(at + "/strokes")) {
    const std::string path = at + "/strokes/" + touch;
    if (!in.in().has(path + "/key_dip") || !in.in().has(path + "/hammer_distance")) continue;
    Stroke s;
    s.set_up = set_up.label();
    s.touch = touch;
    s.time = in.column(path + "/time");
    s.key_dip = in.column(path + "/key_dip");
    s.hammer_distance = in.column(path + "/hammer_distance");
    s.hammer_speed = in.column(path + "/hammer_speed");
    s.key_speed = in.column(path + "/key_speed");
    if (in.in().has(path + "/energies")) {
      const store::Series energies = in.in().read_series(path + "/energies");
      s.energy_names = energies.names.names;
      s.energies.resize(s.energy_names.size());
      for (size_t c = 0; c < s.energies.size(); ++c)
        for (size_t r = 0; r < energies.rows; ++r) s.energies[c].push_back(energies.at(r, c));
    }
    s.events = in.events(path);
    out->push_back(std::move(s));
  }
}

// The measures a technician weighs a change by.
void read_changes(const StoredStudy& in, const SetUp& set_up, std::vector<Change>* out) {
  constexpr std::pair<const char*, const char*> kWeighed[] = {{"down weight", "noticeable_down_weight"},
                                                              {"up weight", "noticeable_up_weight"},
                                                              {"friction", "noticeable_friction"},
                                                              {"aftertouch", "noticeable_aftertouch"}};
  for (const auto& [measure, noticeable] : kWeighed) {
    const store::Number* n = set_up.find_number(measure);
    if (!n || !std::isfinite(n->change_against_base)) continue;
    const double factor = n->display_factor();
    out->push_back({set_up.label(), measure, n->display_unit, factor * n->change_against_base,
                    std::isfinite(n->sigma_of_change) ? factor * n->sigma_of_change : 0,
                    factor * in.attribute("/", noticeable).value_or(0)});
  }
}

// "Do: Measure first, change nothing yet." without label and stop: the first sentence.
std::string find_finding(const StoredStudy& in) {
  const std::vector<std::string> answer = in.strings("/answer");
  const std::string label = "Do: ";
  if (answer.empty() || answer.front().rfind(label, 0) != 0) return "";
  const std::string text = answer.front().substr(label.size());
  return text.substr(0, std::min(text.find(". "), text.find_last_not_of(". ") + 1));
}

// Without friction, as the ratio is defined, from rest until the tender meets its button: after that the jack
// goes and the ratio falls through zero at let-off. In files without that curve: with friction, over the
// stretch in which down weight is taken, from 1 mm on.
RatioCurve read_ratio(const StoredStudy& in, const SetUp& set_up) {
  const std::string& at = set_up.at;
  RatioCurve c{set_up.label(), {}, {}, in.in().has(at + "/ratio/distance_ratio"), std::nullopt};
  const std::string from = at + (c.frictionless ? "/ratio" : "/statics/down");
  const std::vector<double> dip = in.column(from + "/dip"), ratio = in.column(from + "/distance_ratio");
  c.button_dip = in.attribute(at + "/statics/down", "button_dip");
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

StudyFigures read_curves(const StoredStudy& in) {
  in.need_finished("to draw");
  StudyFigures study;
  study.path = in.path();
  study.finding = find_finding(in);
  for (const SetUp& s : in.set_ups()) {
    study.force_dip.push_back(read_force_dip(in, s));
    if (auto slide = read_slide(in, s)) study.slide_paths.push_back(std::move(*slide));
    if (auto ledger = read_ledger(in, s)) study.ledgers.push_back(std::move(*ledger));
    read_strokes(in, s, &study.strokes);
    RatioCurve ratio = read_ratio(in, s);
    if (!ratio.dip.empty()) study.ratios.push_back(std::move(ratio));
    if (study.force_dip.size() > 1) read_changes(in, s, &study.changes);
    add_moments(in, s, &study.action);
  }
  return study;
}

}  // namespace leverwright::study_file

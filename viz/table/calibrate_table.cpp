#include "viz/table/calibrate_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"
#include "models/judgement/sentences.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/table/json.h"

namespace leverwright::table {

using calibrate::Afterwards;
using calibrate::Calibration;
using calibrate::info_of;
using case_file::CaseDescription;

namespace {

struct Shown {
  std::string unit;
  double factor = 1;
  int decimals = 3;
};

Shown shown(const CaseDescription& d, const calibrate::Unknown& u) {
  const auto dimension = d.quantity(u.key).dimension;
  if (dimension == case_file::Dimension::kTorque) return {"gf at 23 mm", 1 / (base::kGramForce * 0.023), 2};
  if (dimension == case_file::Dimension::kWeight) return {"gf", 1 / base::kGramForce, 2};
  return {"", 1, 3};
}

std::string plus_minus(double value, double sigma, const Shown& s) {
  return fixed(value * s.factor, s.decimals) + " +- " + fixed(sigma * s.factor, s.decimals);
}

std::string heading(const std::string& text, const Look& look) {
  return "\n" + paint(text, Colour::kHeading, look) + "\n\n";
}

double sigma_of(const Calibration& c, std::size_t i) {
  const auto k = static_cast<Eigen::Index>(i);
  return std::sqrt(c.fit.covariance(k, k));
}

}  // namespace

std::string write_found_values(const CaseDescription& d, const Calibration& c) {
  std::string out;
  for (std::size_t i = 0; i < c.unknowns.size(); ++i) {
    const auto& u = c.unknowns[i];
    if (!u.note.empty() || c.told[i] < 0.2) continue;
    case_file::Quantity q = d.quantity(u.key);
    const auto rounded = [](double x) { return std::stod(fmt::format("{:.3g}", x)); };
    const Shown s = shown(d, u);
    const double unit = s.factor;
    const auto dot = u.key.rfind('.');
    if (q.dimension == case_file::Dimension::kTorque) {  // as a gauge reads it
      out += fmt::format("[{}]\n{} = \"{:.3g} gf +- {:.2g} gf at 23 mm\"\n", u.key.substr(0, dot),
                         u.key.substr(dot + 1), c.fit.p[static_cast<Eigen::Index>(i)] * unit,
                         sigma_of(c, i) * unit);
      continue;
    }
    q.value = rounded(c.fit.p[static_cast<Eigen::Index>(i)] * unit) / unit;
    q.sigma = rounded(sigma_of(c, i) * unit) / unit;
    q.knowledge = case_file::Knowledge::kMeasured;
    out += fmt::format("[{}]\n{} = \"{}\"\n", u.key.substr(0, dot), u.key.substr(dot + 1),
                       case_file::write_quantity(q));
  }
  return out;
}

namespace {

std::string write_unknowns(const CaseDescription& d, const Calibration& c, const Look& look) {
  std::string out = wrap(d.title, look.width);
  out +=
      wrap(fmt::format(
               "{} readings on {} lines; {} unknowns, {} other uncertain inputs took part. Readings off by "
               "{:.2f} of their standard deviations before (root mean square), {:.2f} after, in {} rounds{}.",
               c.data.size(), c.rows.size(), c.unknowns.size(), c.nuisance, c.before_rms, c.after_rms,
               c.fit.rounds, c.fit.settled ? "" : "; NOT settled"),
           look.width);
  Grid grid({0, 0, 0, 0, 0, 0});
  grid.add({{"unknown", Colour::kHeading},
            {"unit", Colour::kHeading},
            {"before", Colour::kHeading, true},
            {"found", Colour::kHeading, true},
            {"95 % band", Colour::kHeading, true},
            {"learned from the readings", Colour::kHeading, true}});
  for (std::size_t i = 0; i < c.unknowns.size(); ++i) {
    const auto& u = c.unknowns[i];
    const Shown s = shown(d, u);
    const double value = c.fit.p[static_cast<Eigen::Index>(i)], sigma = sigma_of(c, i);
    grid.add({{u.name},
              {s.unit, Colour::kQuiet},
              {plus_minus(u.mean, u.sigma, s), Colour::kPlain, true},
              {plus_minus(value, sigma, s), Colour::kPlain, true},
              {fixed(std::max(0.0, value - 1.96 * sigma) * s.factor, s.decimals) + " to " +
                   fixed((value + 1.96 * sigma) * s.factor, s.decimals),
               Colour::kPlain, true},
              {c.told[i] < 0.2 ? fixed(100 * c.told[i], 0) + " %, nothing learned; still the estimate"
                               : fixed(100 * c.told[i], 0) + " %",
               c.told[i] < 0.2 ? Colour::kQuiet : Colour::kPlain, true}});
  }
  out += "\n" + grid.write(look) + "\n";
  out += wrap(
      "Before: what the case says; an estimate with a range stands in as a normal of the range's standard "
      "deviation, a weak prior. Learned: share of the prior variance removed by the readings.",
      look.width);
  return out;
}

std::string write_weak(const Calibration& c, const Look& look) {
  std::string out;
  const auto told_by = [](const calibrate::Weak& w) {
    return w.remedy.empty()
               ? std::string("no single further measurement would narrow it by more than 10 %")
               : fmt::format("{}; leaves {:.0f} % of what is open now", w.remedy, 100 * w.variance_then);
  };
  const auto list = [&](calibrate::Weak::Kind kind, const char* title, const char* before) {
    std::string lines;
    for (const auto& w : c.weak)
      if (w.kind == kind)
        lines += wrap(fmt::format("{}{}: {}.", w.words, before, told_by(w)), look.width, "- ", "  ");
    if (!lines.empty()) out += heading(title, look) + lines;
  };
  list(calibrate::Weak::Kind::kUnknown, "What these readings cannot tell, and what would tell it", "");
  list(calibrate::Weak::Kind::kPair, "What trades one against the other", " can best be told apart by");
  return out;
}

std::string write_fitted(const CaseDescription& d, const Calibration& c, const Look& look) {
  std::string out;
  out += heading("Readings", look);
  Grid readings({0, 0, 0, 0, 0, 0});
  readings.add({{"note", Colour::kHeading},
                {"set-up", Colour::kHeading},
                {"reading", Colour::kHeading},
                {"measured", Colour::kHeading, true},
                {"fitted", Colour::kHeading, true},
                {"off by", Colour::kHeading, true}});
  for (std::size_t j = 0; j < c.data.size(); ++j) {
    const auto& datum = c.data[j];
    const auto& info = info_of(datum.reading.kind);
    const double r = c.fit.residual[static_cast<Eigen::Index>(j)];
    readings.add(
        {{c.rows[datum.row].note},
         {d.set_ups[c.rows[datum.row].set_up].name},
         {info.name},
         {fixed(datum.reading.value * info.display_factor, info.decimals) + " +- " +
              fixed(datum.reading.sigma * info.display_factor, info.decimals) + " " + info.display_unit,
          Colour::kPlain, true},
         {fixed(c.fitted[static_cast<Eigen::Index>(j)] * info.display_factor, info.decimals), Colour::kPlain,
          true},
         {fixed_signed(r, 1) + " sd", std::abs(r) >= calibrate::kOutlier ? Colour::kBad : Colour::kPlain,
          true}});
  }
  out += readings.write(look);
  return out;
}

std::string write_outcome(const CaseDescription& d, const Calibration& c, const Look& look) {
  std::string out;
  if (!c.outliers.empty()) {
    out += heading("Readings that do not belong to the rest", look);
    for (const auto& o : c.outliers) out += wrap(o + ".", look.width, "- ", "  ");
  }
  const std::string lines = write_found_values(d, c);
  if (!lines.empty()) out += heading("To go on with these values, put into the case", look) + lines;
  return out;
}

}  // namespace

Document calibration_document(const CaseDescription& d, const Calibration& c) {
  Document out;
  out.text([&](const Look& look) { return write_unknowns(d, c, look); });
  out.details("what cannot be told, readings one by one");
  out.text([&](const Look& look) { return write_weak(c, look); });
  out.text([&](const Look& look) { return write_fitted(d, c, look); });
  out.essentials();
  out.text([&](const Look& look) { return write_outcome(d, c, look); });
  return out;
}

std::string write_calibration_json(const CaseDescription& d, const Calibration& c) {
  Json out{
      {"format", "leverwright calibration"}, {"format_version", 1}, {"software_version", base::kVersion}};
  out["case"] = d.path;
  out["settled"] = c.fit.settled;
  out["rms_before"] = c.before_rms;
  out["rms_after"] = c.after_rms;
  Json unknowns = Json::array();
  for (std::size_t i = 0; i < c.unknowns.size(); ++i) {
    const auto& u = c.unknowns[i];
    const Shown s = shown(d, u);
    Json correlation = Json::array();
    for (std::size_t k = 0; k < c.unknowns.size(); ++k)
      correlation.push_back(c.fit.covariance(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(k)) /
                            (sigma_of(c, i) * sigma_of(c, k)));
    unknowns.push_back(Json{{"key", u.key},
                            {"note", u.note},
                            {"name", u.name},
                            {"unit", s.unit.empty() ? "1" : s.unit},
                            {"before", u.mean * s.factor},
                            {"before_sigma", u.sigma * s.factor},
                            {"found", c.fit.p[static_cast<Eigen::Index>(i)] * s.factor},
                            {"sigma", sigma_of(c, i) * s.factor},
                            {"told", c.told[i]},
                            {"correlation", correlation}});
  }
  out["unknowns"] = unknowns;
  Json weak = Json::array();
  for (const auto& w : c.weak)
    weak.push_back(Json{{"kind", w.kind == calibrate::Weak::Kind::kUnknown ? "unknown"
                                 : w.kind == calibrate::Weak::Kind::kPair  ? "pair"
                                                                           : "direction"},
                        {"combination", w.words},
                        {"variance_left", w.variance_left},
                        {"told_by", w.remedy},
                        {"variance_left_then", w.variance_then}});
  out["cannot_tell"] = weak;
  Json readings = Json::array();
  for (std::size_t j = 0; j < c.data.size(); ++j) {
    const auto& datum = c.data[j];
    const auto& info = info_of(datum.reading.kind);
    readings.push_back(Json{{"note", c.rows[datum.row].note},
                            {"set_up", d.set_ups[c.rows[datum.row].set_up].name},
                            {"reading", info.name},
                            {"unit", info.display_unit},
                            {"measured", datum.reading.value * info.display_factor},
                            {"sigma", datum.reading.sigma * info.display_factor},
                            {"fitted", c.fitted[static_cast<Eigen::Index>(j)] * info.display_factor},
                            {"residual_sigmas", c.fit.residual[static_cast<Eigen::Index>(j)]}});
  }
  out["readings"] = readings;
  out["outliers"] = c.outliers;
  return out.dump(2) + "\n";
}

std::string write_afterwards(const CaseDescription& d, const Afterwards& a, const Look& look) {
  std::string out = wrap(d.title, look.width) + "\n";
  Grid grid({0, 0, 0, 0, 0, 0, 0});
  grid.add({{"note", Colour::kHeading},
            {"set-up", Colour::kHeading},
            {"reading", Colour::kHeading},
            {"predicted", Colour::kHeading, true},
            {"measured", Colour::kHeading, true},
            {"difference", Colour::kHeading, true},
            {"", Colour::kHeading}});
  for (const auto& c : a.checked) {
    const auto& info = info_of(c.reading.kind);
    const auto both = [&](double value, double sigma) {
      return fixed(value * info.display_factor, info.decimals) + " +- " +
             fixed(sigma * info.display_factor, info.decimals);
    };
    grid.add({{a.rows[c.row].note},
              {d.set_ups[a.rows[c.row].set_up].name},
              {std::string(info.name) + ", " + info.display_unit},
              {both(c.predicted, c.sigma), Colour::kPlain, true},
              {both(c.reading.value, c.reading.sigma), Colour::kPlain, true},
              {fixed_signed((c.reading.value - c.predicted) * info.display_factor, info.decimals),
               Colour::kPlain, true},
              {c.agrees ? "agrees" : "differs", c.agrees ? Colour::kGood : Colour::kBad}});
  }
  out += grid.write(look) + "\n";
  out += wrap(
      std::string("+-: one standard deviation. Agrees: within 1.96 of both together.") +
          (a.used_before ? " The readings before the work are taken into account: errors both share cancel."
                         : " With the same notes measured before the work the prediction would be sharper."),
      look.width);
  std::vector<std::size_t> done;  // set-ups measured after the work
  for (const auto& c : a.checked)
    if (std::find(done.begin(), done.end(), a.rows[c.row].set_up) == done.end())
      done.push_back(a.rows[c.row].set_up);
  std::string go_on;
  for (const std::size_t s : done) {
    const std::string words =
        judgement::go_on_words(d.set_ups[s].name, case_file::undone_class(d.set_ups[s]), a.agrees);
    if (!words.empty()) go_on += wrap(words, look.width);
  }
  if (a.agrees)
    out += wrap("All together: agrees with the prediction.", look.width);
  else if (a.causes.empty())
    out += wrap(
        fmt::format("All together: does not agree, but no single cause explains it. A job done as planned "
                    "would give readings this far off about once in {:.0f} jobs: take the readings that "
                    "differ again.",
                    1 / std::max(a.chance, 1e-9)),
        look.width);
  else
    out += wrap("All together: does not agree with the prediction.", look.width);
  out += go_on;
  if (a.agrees) return out;
  out += heading("One note at a time", look);
  Grid notes({0, 0, 0, std::max(30, look.width - 60)});
  notes.add({{"note", Colour::kQuiet},
             {"friction off by, gf", Colour::kQuiet, true},
             {"balance weight off by, gf", Colour::kQuiet, true},
             {"by itself it says", Colour::kQuiet}});
  const auto off = [](double value, double sigma) {
    return std::isfinite(value)
               ? fixed_signed(value / base::kGramForce, 1) + " +- " + fixed(sigma / base::kGramForce, 1)
               : std::string("not weighed");
  };
  for (const auto& n : a.notes)
    notes.add({{n.note},
               {off(n.friction, n.friction_sigma), Colour::kPlain, true},
               {off(n.balance, n.balance_sigma), Colour::kPlain, true},
               {n.causes.empty() ? "nothing by itself" : n.causes.front().words}});
  out += notes.write(look);
  if (a.causes.empty()) return out;
  out += heading("The most likely cause", look);
  const auto tied = std::count_if(a.causes.begin(), a.causes.end(), [](const auto& c) { return c.tied; });
  if (tied > 1)
    out += wrap(fmt::format("Undecided: the first {} explain the readings about equally well.", tied),
                look.width);
  for (std::size_t k = 0; k < a.causes.size() && k < 5; ++k) {
    const auto& c = a.causes[k];
    if (!c.tied && k > 1) break;
    std::string line = fmt::format("{} ({:.0f} %)", c.words, 100 * c.plausibility);
    if (std::isfinite(c.shift)) line += fmt::format(", by {:+.2g} +- {:.1g} {}", c.shift, c.sigma, c.unit);
    out += wrap(line + ". What to do: " + c.advice + ".", look.width, fmt::format("{}. ", k + 1), "   ");
  }
  out += wrap(
      "Each line supposes that this one thing alone is wrong. Only what was measured or done is blamed; look "
      "there "
      "first, and measure it again before anything is undone.",
      look.width);
  return out;
}

std::string write_afterwards_json(const CaseDescription& d, const Afterwards& a) {
  Json out{{"format", "leverwright afterwards"}, {"format_version", 1}, {"software_version", base::kVersion}};
  out["case"] = d.path;
  out["agrees"] = a.agrees;
  out["chi_squared"] = a.chi_squared;
  out["chance"] = a.chance;
  out["used_readings_before"] = a.used_before;
  Json checked = Json::array();
  for (const auto& c : a.checked) {
    const auto& info = info_of(c.reading.kind);
    Json one{{"note", a.rows[c.row].note},
             {"set_up", d.set_ups[a.rows[c.row].set_up].name},
             {"reading", info.name},
             {"unit", info.display_unit},
             {"predicted", c.predicted * info.display_factor},
             {"predicted_sigma", c.sigma * info.display_factor},
             {"measured", c.reading.value * info.display_factor},
             {"measured_sigma", c.reading.sigma * info.display_factor},
             {"agrees", c.agrees}};
    if (const auto& row = a.rows[c.row]; !row.date.empty()) one["date"] = row.date;
    if (const auto& row = a.rows[c.row]; row.humidity >= 0) one["humidity_percent"] = row.humidity;
    checked.push_back(one);
  }
  out["readings"] = checked;
  Json causes = Json::array();
  for (const auto& c : a.causes)
    causes.push_back(Json{{"cause", c.words},
                          {"note", c.note},
                          {"what_to_do", c.advice},
                          {"plausibility", c.plausibility},
                          {"shift", c.shift},
                          {"sigma", c.sigma},
                          {"unit", c.unit},
                          {"tied_with_first", c.tied}});
  out["causes"] = causes;
  Json notes = Json::array();
  for (const auto& n : a.notes)
    notes.push_back(Json{{"note", n.note},
                         {"friction_off_by_gf", n.friction / base::kGramForce},
                         {"friction_sigma_gf", n.friction_sigma / base::kGramForce},
                         {"balance_weight_off_by_gf", n.balance / base::kGramForce},
                         {"balance_weight_sigma_gf", n.balance_sigma / base::kGramForce},
                         {"cause", n.causes.empty() ? "" : n.causes.front().words}});
  out["notes"] = notes;
  return out.dump(2) + "\n";
}

}  // namespace leverwright::table

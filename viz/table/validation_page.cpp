#include "viz/table/validation_page.h"

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <limits>

#include "sim/analysis/curves.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/table/csv.h"

namespace leverwright::table {

namespace {

const char* const kHeader = "id,quantity,published,unit,source,shown_by";
constexpr double kMilli = 1e3;

const study::PlayedTouch* find_stroke(const playing::TouchCurve& curve, double speed) {
  for (const study::PlayedTouch& t : curve.strokes)
    if (t.found.found && std::abs(t.wanted_speed - speed) < 1e-9) return &t;
  return nullptr;
}

double bottom_after_string(const study::PlayedTouch& t) { return t.stroke.measures.key_bottom_after_string; }

// A number, or a dash where the stroke has none.
std::string cell(double value, int digits) {
  return std::isfinite(value) ? fmt::format("{:.{}f}", value, digits) : "-";
}

// Bars would end a cell of the table.
std::string plain(std::string text) {
  for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2) text.insert(at, "\\");
  return text;
}

std::string write_ranges(const ValidationPage& page) {
  std::string out =
      "| quantity | condition | ours | range | unit | | ours read off | source of the range |\n"
      "|---|---|---|---|---|---|---|---|\n";
  std::string reasons;
  int in = 0, missed = 0, own = 0, none = 0, shown = 0;
  for (const BandRow& r : find_band_rows(page.bands, page.values)) {
    const bool out_of_range = r.judged == "OUT";
    ++(r.judged == "in"          ? in
       : out_of_range            ? missed
       : r.judged == "own width" ? own
       : r.judged == "shown"     ? shown
                                 : none);
    out +=
        fmt::format("| {} | {} | {} | {:g} to {:g} | {} | {} | {} | {} |\n", r.band.quantity,
                    r.band.condition, r.ours, r.band.low, r.band.high, r.band.unit == "1" ? "" : r.band.unit,
                    out_of_range              ? r.reaches ? "**OUT**, uncertainty reaches" : "**OUT**"
                    : r.judged == "own width" ? "**missed**: inside, but the width is ours"
                    : r.judged == "shown"     ? "not judged"
                    : r.band.use == "prior"   ? r.judged + ", no evidence"
                                              : r.judged,
                    plain(r.read_off), plain(r.band.source));
    if (out_of_range)
      reasons += fmt::format("- **{}** ({}): {}{}.\n", r.band.quantity, r.band.condition,
                             r.reaches ? "its own uncertainty reaches the range (95 %); " : "",
                             r.why.empty() ? "no reason is known" : r.why);
  }
  out += fmt::format("\n{} rows in, {} out, {} without a value.\n", in, missed, none);
  if (own > 0)
    out += fmt::format(
        "{} more lie inside a range whose width about the published figure we set ourselves: no evidence, counted as "
        "missed.\n",
        own);
  if (shown > 0)
    out += fmt::format("{} more have no trustworthy published value and are shown beside it, not judged.\n",
                       shown);
  out += "No evidence: the row's range set the width of the shipped ranges (`models/handbook/priors.md`).\n";
  if (page.spread_inputs)
    out +=
        "\n+- is one standard deviation from the measurements and estimated constants of the case, each "
        "moved, "
        "everything regulated and played again (`models/playing/stroke_spread.h`); rows without it are sought "
        "by "
        "other means.\n";
  if (!reasons.empty()) out += "\nOut of range, and why:\n\n" + reasons;
  return out;
}

std::string write_single_values(const ValidationPage& page) {
  std::string out = "| quantity | published | ours | unit | source |\n|---|---|---|---|---|\n";
  for (const PublishedRow& r : page.published) {
    const auto found = page.ours.find(r.id);
    const bool known = found != page.ours.end();
    std::string ours = known && std::isfinite(found->second) ? fmt::format("{:.3g}", found->second)
                       : known || r.shown_by.empty()         ? "none"
                                                             : "";
    if (!r.shown_by.empty()) ours += (ours.empty() ? "see `" : "; see `") + r.shown_by + "`";
    out += fmt::format("| {} | {} | {} | {} | {} |\n", plain(r.quantity), plain(r.published), ours,
                       r.unit == "1" ? "" : r.unit, plain(r.source));
  }
  return out;
}

std::string write_least(const ValidationPage& page) {
  std::string out =
      "\n## Least key speed that still sounds\n\nA key that goes down evenly, the let-off set by the button. "
      "Plain: hammer carried at the ratio up to let-off, then free against gravity and its centre. Closed: "
      "thrown as the tender meets the button and pushed on by what was pressed "
      "(`models/playing/least_speed.h`, "
      "`models/handbook/least_speed.md`). Played: the speed from which on every key sounds. Kick: how far a "
      "key that creeps throws the hammer above its let-off.\n\n| let-off, mm | plain, mm/s | closed, mm/s | "
      "played, mm/s | closed over played | kick, mm | the same with every friction: closed, mm/s | played, "
      "mm/s | kick, mm |\n|---|---|---|---|---|---|---|---|---|\n";
  for (const playing::LeastSpeedAt& l : page.least)
    out += fmt::format("| {:.2f} | {} | {} | {} | {} | {} | {} | {} | {} |\n", l.let_off * kMilli,
                       cell(l.form_smooth.plain * kMilli, 1), cell(l.form_smooth.closed * kMilli, 1),
                       cell(l.played_smooth * kMilli, 1), cell(l.form_smooth.closed / l.played_smooth, 3),
                       cell(l.kick_smooth * kMilli, 2), cell(l.form.closed * kMilli, 1),
                       cell(l.played * kMilli, 1), cell(l.kick * kMilli, 2));
  return out +
         "\nColumns two to six without friction between surfaces. The slowest played key tried goes 3 mm/s: "
         "that "
         "value means that every key sounds.\n";
}

std::string write_curve(const playing::TouchCurve& curve) {
  std::string out =
      "\n### " + curve.how +
      "\n\n| hammer at the string, m/s | travel time, ms | key start to bottom, ms | key bottom minus "
      "string, ms | greatest key speed, m/s | greatest force, N | free flight, ms | check after "
      "string, ms | faults |\n|---|---|---|---|---|---|---|---|---|\n";
  for (const study::PlayedTouch& t : curve.strokes) {
    if (!t.found.found) {
      out += fmt::format("| {:g} | not reached | | | | | | | |\n", t.wanted_speed);
      continue;
    }
    const auto& m = t.stroke.measures;
    std::string faults;
    for (const action::Fault f : t.stroke.faults)
      faults += (faults.empty() ? "" : ", ") + std::string(action::name_of(f));
    out += fmt::format("| {:.2f} | {} | {} | {} | {} | {} | {} | {} | {} |\n", m.hammer_speed,
                       cell(m.travel_time * kMilli, 1), cell(m.key_descent_time * kMilli, 1),
                       cell(m.key_bottom_after_string * kMilli, 1), cell(m.peak_key_speed, 2),
                       cell(m.peak_force, 1), cell(m.free_flight * kMilli, 1), cell(m.check_time * kMilli, 1),
                       faults);
  }
  return out;
}

}  // namespace

std::vector<PublishedRow> read_published(const std::string& path) {
  std::ifstream in(path);
  if (!in)
    throw base::UserError({base::Problem{path, 0, "", "the table of published values cannot be read",
                                         "a file with the columns " + std::string(kHeader),
                                         "set LEVERWRIGHT_MODELS to the models folder of this program"}});
  std::vector<PublishedRow> rows;
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (number == 1 && line != kHeader)
      throw base::UserError(
          {base::Problem{path, 1, line, "these are not the columns of a table of values", kHeader, ""}});
    if (number == 1 || line.empty()) continue;
    const auto f = split_csv(line);
    if (f.size() != 6 || f[0].empty() || f[4].empty())
      throw base::UserError(
          {base::Problem{path, number, line, "this row is no published value", kHeader, ""}});
    rows.push_back({f[0], f[1], f[2], f[3], f[4], f[5]});
  }
  return rows;
}

std::map<std::string, double> find_published_values(const study::SetUpResult& s,
                                                    const std::vector<playing::TouchCurve>& curves) {
  std::map<std::string, double> out;
  const action::BodyMass& hammer = s.design.masses[action::kHammer];
  const double arm = std::hypot(s.design.hammer_length, s.design.bore);
  out["hammer_mass"] = hammer.mass * kMilli;
  out["hammer_equivalent"] =
      (hammer.inertia_cm + hammer.mass * hammer.p_cm.squaredNorm()) / (arm * arm) * kMilli;
  out["hammer_friction"] = s.design.pivots[action::kHammerCentre].coulomb();
  out["front_arm"] = s.design.key_front_arm * kMilli;
  for (const study::PlayedTouch& t : s.touches)
    if (t.found.found && (t.name == "mf" || t.name == "ff"))
      out["check_" + t.name] = t.stroke.measures.check_distance * kMilli;
  // The speeds that stand for p, mf and f in the source's sense.
  constexpr double kSoft = 1.0, kMiddling = 2.0, kLoud = 4.5;
  for (const playing::TouchCurve& curve : curves) {
    const bool struck = curve.how.rfind("struck", 0) == 0;
    if (struck) out["zero_struck"] = playing::find_zero_speed(curve, bottom_after_string);
    if (curve.how != "pressed by a force") continue;
    if (const auto* t = find_stroke(curve, kMiddling)) {
      out["speed_ratio"] = t->stroke.measures.hammer_speed / t->stroke.measures.peak_key_speed;
      out["key_bottom_mf"] = bottom_after_string(*t) * kMilli;
    }
    if (const auto* t = find_stroke(curve, kSoft)) out["key_bottom_p"] = bottom_after_string(*t) * kMilli;
    if (const auto* t = find_stroke(curve, kLoud)) out["key_bottom_f"] = bottom_after_string(*t) * kMilli;
  }
  return out;
}

std::vector<ValidationPage::AtDip> find_slow_forces(const study::SetUpResult& s) {
  std::vector<ValidationPage::AtDip> out;
  const auto curve_of = [](const std::vector<run::StaticSample>& path) {
    analysis::Curve c;
    for (const run::StaticSample& sample : path) {
      c.x.push_back(sample.travel);
      c.y.push_back(sample.force);
    }
    return c;
  };
  const auto force_at = [](const analysis::Curve& c, double dip) {
    if (c.x.empty() || dip < c.x.front() || dip > c.x.back()) return std::numeric_limits<double>::quiet_NaN();
    return analysis::interpolate(c, dip);
  };
  const analysis::Curve down = curve_of(s.weighing.down), up = curve_of(s.weighing.up);
  for (int mm = 1; mm * 1e-3 <= s.regulated.dip; ++mm)
    out.push_back({mm * 1e-3, force_at(down, mm * 1e-3), force_at(up, mm * 1e-3)});
  return out;
}

std::string write_validation_page(const ValidationPage& page) {
  std::string out = "# Against what is published\n\n";
  out += fmt::format("Written by `{}`, version {}{}. {}, \"{}\". ", page.command, base::kVersion,
                     page.commit.empty() ? "" : " at commit " + page.commit, page.title, page.set_up);
  out +=
      "No constant was moved to make a row pass; no single action need fall into every range. What falls out "
      "stays in, marked.\n\n## Ranges of regulated grands\n\n" +
      write_ranges(page) +
      "\n## Single values\n\nOurs is read off this one invented note, so a difference in a part's size is no "
      "miss; where a test or page shows the point it is named.\n\n" +
      write_single_values(page);
  if (!page.least.empty()) out += write_least(page);
  out +=
      "\n## Slow force against dip\n\nFriction against the motion both ways.\n\n| dip, mm | going down, gf | "
      "coming up, gf |\n|---|---|---|\n";
  for (const auto& a : page.slow)
    out += fmt::format("| {:.0f} | {} | {} |\n", a.dip * kMilli, cell(a.down / base::kGramForce, 1),
                       cell(a.up / base::kGramForce, 1));
  for (const std::string& picture : page.slow_pictures) out += "\n![](" + picture + ")\n";
  out +=
      "\n## The whole range of hammer speeds\n\nPublished (as quoted): key bottom after the string by up to "
      "35 ms very "
      "soft, 4 ms before it very loud, both at 1.4 to 3.8 m/s; key motion lasts 20 to 250 ms, key speed 0.1 "
      "to 0.6 "
      "m/s (Goebl, Bresin, Galembo 2005; Lozada 2007, abstract). A struck touch takes less time than a "
      "pressed one.\n";
  for (const std::string& picture : page.speed_pictures) out += "\n![](" + picture + ")\n";
  for (const playing::TouchCurve& c : page.curves) out += write_curve(c);
  return out;
}

}  // namespace leverwright::table

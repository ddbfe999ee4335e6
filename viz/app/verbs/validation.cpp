// validation: one action against everything published, as a page with curves.
#include <fmt/format.h>

#include <cmath>
#include <filesystem>

#include "models/action/string_blow.h"
#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "sim/base/units.h"
#include "viz/app/band_values.h"
#include "viz/app/has_pictures.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/chart/draw_chart.h"
#include "viz/figures/validation_figures.h"
#include "viz/table/validation_page.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  std::string page;         // file; "": standard output, without pictures
  std::string commit;       // to be named on the page
  bool uncertainty = true;  // of the ranges' rows
};

constexpr double kMilli = 1e3;

const table::Band* find_band(const std::vector<table::Band>& bands, const std::string& id) {
  for (const table::Band& b : bands)
    if (b.id == id) return &b;
  return nullptr;
}

figures::SpeedCurve curve_of(const playing::TouchCurve& c, double (*value)(const action::StrokeMeasures&)) {
  figures::SpeedCurve out;
  out.name = c.how;
  for (const study::PlayedTouch& t : c.strokes) {
    if (!t.found.found) continue;
    out.speed.push_back(t.stroke.measures.hammer_speed);
    out.value.push_back(value(t.stroke.measures) * kMilli);
  }
  return out;
}

// What is drawn, with the published ranges of bands.csv where they stand. Very soft and very loud are given
// no speed there: softest and loudest of the range of hammer speeds.
figures::ValidationCurves gather_curves(const table::ValidationPage& page, const study::SetUpResult& s) {
  figures::ValidationCurves v;
  v.title = s.name;
  for (const playing::TouchCurve& c : page.curves) {
    v.key_bottom.push_back(curve_of(c, [](const auto& m) { return m.key_bottom_after_string; }));
    v.travel.push_back(curve_of(c, [](const auto& m) { return m.travel_time; }));
  }
  constexpr double kSoftest = 0.18, kStillSoft = 0.35, kStillLoud = 5.5, kLoudest = 6.8;  // m/s
  if (const auto* b = find_band(page.bands, "key_bottom_soft"))
    v.key_bottom_published.push_back({kSoftest, kStillSoft, b->low, b->high, "very soft"});
  if (const auto* b = find_band(page.bands, "key_bottom_zero"))
    v.key_bottom_published.push_back({b->low, b->high, -0.25, 0.25, "zero is passed here"});
  if (const auto* b = find_band(page.bands, "key_bottom_loud"))
    v.key_bottom_published.push_back({kStillLoud, kLoudest, b->low, b->high, "very loud"});
  if (const auto* b = find_band(page.bands, "key_descent"))
    v.travel_published.push_back({kSoftest, kLoudest, b->low, b->high, ""});
  for (const auto& sample : s.weighing.down) {
    v.dip.push_back(sample.travel * kMilli);
    v.down.push_back(sample.force / base::kGramForce);
    // The way up has its own dips: straight between them.
    const auto& up = s.weighing.up;
    double force = std::nan("");
    for (std::size_t k = 1; k < up.size(); ++k) {
      const double a = up[k - 1].travel, b = up[k].travel;
      if ((sample.travel - a) * (sample.travel - b) > 0 || a == b) continue;
      force = up[k - 1].force + (up[k].force - up[k - 1].force) * (sample.travel - a) / (b - a);
      break;
    }
    v.up.push_back(force / base::kGramForce);
  }
  v.dip_let_off = s.regulated.dip_let_off * kMilli;
  const std::pair<const char*, const char*> notes[] = {
      {"C2", "string_contact_c2"}, {"C4", "string_contact_c4"}, {"C7", "string_contact_c7"}};
  for (std::size_t n = 0; n < action::kPublishedNotes.size(); ++n) {
    const action::PublishedNote& note = action::kPublishedNotes[n];
    figures::ValidationCurves::Contact contact;
    contact.curve.name = note.name;
    for (const double speed : {0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 3.8, 4.5, 6.0}) {
      const auto blow =
          action::strike_string(note.string, action::felt_of(note, true), note.hammer_mass, speed);
      contact.curve.speed.push_back(speed);
      contact.curve.value.push_back(blow.parted ? blow.duration * kMilli : std::nan(""));
    }
    if (const auto* b = find_band(page.bands, notes[n].second)) {
      contact.low = b->low;
      contact.high = b->high;
    }
    v.contacts.push_back(contact);
  }
  if (!page.curves.empty()) {
    figures::ValidationCurves::Contact own;
    own.curve = curve_of(page.curves.front(), [](const auto& m) { return m.string_time; });
    own.curve.name = "this note, whole action";
    v.contacts.push_back(own);
  }
  return v;
}

// Draws beside the page and names the pictures on it.
std::vector<std::string> draw_beside(const std::string& out, const study::SetUpResult& s,
                                     table::ValidationPage& page) {
  const std::filesystem::path folder = std::filesystem::path(out).parent_path();
  std::vector<std::string> files =
      figures::draw_validation(gather_curves(page, s), folder.empty() ? "." : folder.string());
  for (const std::string& f : files) {
    const std::filesystem::path path = f;
    if (path.extension() != ".png") continue;
    const std::string name = path.filename().string();
    (name.rfind("slow_", 0) == 0 ? page.slow_pictures : page.speed_pictures).push_back(name);
  }
  return files;
}

int validation(const Request& r, VerbRun& run) {
  const auto d = remedies::read_case(r.case_path);
  const std::string handbook = case_file::default_models_directory() + "/handbook/";
  table::ValidationPage page;
  page.bands = table::read_bands(handbook + "bands.csv");
  page.published = table::read_published(handbook + "published.csv");
  const bool to_file = !r.page.empty() && r.page != "-";
  check_writable(r.page);
  if (to_file && has_pictures()) chart::need_tools();
  run.open();
  const auto s = solve_one(d, r.set_up, study::known_touches(), run.terminal());
  page.values = find_all_band_values(d, r.set_up, s, page.bands, run);
  playing::TouchCurveOptions options;
  options.progress = run.reporter("touches", "touches");
  if (!run.stop_asked()) page.curves = playing::find_touch_curves(d, s, options);
  if (!run.stop_asked())
    page.least = playing::find_least_speeds(s.design, s.regulated, {1e-3, 2e-3, 3e-3, 5e-3});
  if (r.uncertainty && !run.stop_asked())
    page.spread_inputs =
        put_uncertainty(d, r.set_up, page.values, run.reporter("uncertainty", "uncertainty"));
  if (run.stop_asked()) return run.end_with_nothing();
  page.title = d.title;
  page.set_up = s.name;
  page.command = "leverwright validation " + r.case_path;
  page.commit = r.commit;
  page.ours = table::find_published_values(s, page.curves);
  page.slow = table::find_slow_forces(s);
  if (to_file) run.keep(r.page);
  if (to_file && has_pictures()) run.keep(draw_beside(r.page, s, page));
  run.clear_progress();
  write_text_file(to_file ? r.page : "-", table::write_validation_page(page));
  return run.end();
}

}  // namespace

void add_validation(App& app) {
  Verb& verb = app.add("validation", "Hold one action against everything published, as a page with curves.",
                       {"validation cases/missed_heel/case.toml --out out/published.md"});
  Request& r = verb.request(validation);
  verb.add_case(r.case_path);
  verb.add_set_up(r.set_up, "the base");
  verb.add("--out", "FILE", "Write this page (.md), with its pictures beside it.", &r.page,
           "standard output, without pictures,");
  verb.add("--commit", "COMMIT", "Name this commit of the program on the page.", &r.commit);
  verb.add_off("--no-uncertainty", "Leave out the uncertainty of the ranges' rows (most of the time).",
               &r.uncertainty);
}

}  // namespace leverwright::app

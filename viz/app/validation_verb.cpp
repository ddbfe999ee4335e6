#include <fmt/format.h>

#include <cmath>
#include <filesystem>

#include "models/action/string_blow.h"
#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "sim/base/units.h"
#include "viz/app/band_values.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/validation_page.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/validation_figures.h"
#endif

namespace leverwright::app {

namespace {

constexpr double kMilli = 1e3;

#ifdef LEVERWRIGHT_HAS_PICTURES

const table::Band* find_band(const std::vector<table::Band>& bands, const std::string& id) {
  for (const table::Band& b : bands)
    if (b.id == id) return &b;
  return nullptr;
}

figures::SpeedCurve curve_of(const study::TouchCurve& c, double (*value)(const action::StrokeMeasures&)) {
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
  for (const study::TouchCurve& c : page.curves) {
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
  const auto files = figures::draw_validation(gather_curves(page, s), folder.empty() ? "." : folder.string());
  for (const std::string& f : files) {
    const std::filesystem::path path = f;
    if (path.extension() != ".png") continue;
    const std::string name = path.filename().string();
    (name.rfind("slow_", 0) == 0 ? page.slow_pictures : page.speed_pictures).push_back(name);
  }
  return files;
}

#else

std::vector<std::string> draw_beside(const std::string&, const study::SetUpResult&, table::ValidationPage&) {
  return {};
}

#endif

}  // namespace

int run_validation(const std::string& case_path, const std::string& set_up, const std::string& out,
                   const std::string& commit, bool quick, const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const std::string handbook = case_file::default_models_directory() + "/handbook/";
  table::ValidationPage page;
  page.bands = table::read_bands(handbook + "bands.csv");
  page.published = table::read_published(handbook + "published.csv");
  check_writable(out);
  if (!out.empty()) check_drawing_tools();
  const auto s = solve_one(d, set_up, study::known_touches(), terminal);
  page.values = find_all_band_values(d, set_up, s, page.bands, terminal);
  Progress progress(terminal);
  const auto report = [&](const std::string& doing) {
    return [&progress, doing](double share) {
      progress.report(doing, doing, share);
      return !interrupted();
    };
  };
  study::TouchCurveOptions options;
  options.progress = report("touches");
  page.curves = study::find_touch_curves(d, s, options);
  if (!interrupted()) page.least = study::find_least_speeds(s.design, s.regulated, {1e-3, 2e-3, 3e-3, 5e-3});
  if (!quick && !interrupted())
    page.spread_inputs = put_uncertainty(d, set_up, page.values, report("uncertainty"));
  progress.clear();
  if (interrupted()) return kStopped;
  page.title = d.title;
  page.set_up = s.name;
  page.command = "leverwright validation " + case_path;
  page.commit = commit;
  page.ours = table::find_published_values(s, page.curves);
  page.slow = table::find_slow_forces(s);
  std::vector<std::string> written;
  if (!out.empty() && out != "-") written = draw_beside(out, s, page);
  write_text_file(out.empty() ? "-" : out, table::write_validation_page(page));
  if (!out.empty() && out != "-") {
    written.insert(written.begin(), out);
    say_written(written, terminal);
  }
  return kDone;
}

}  // namespace leverwright::app

#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "viz/app/band_values.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/validation_page.h"

namespace leverwright::app {

int run_validation(const std::string& case_path, const std::string& set_up, const std::string& out,
                   const std::string& commit, const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const std::string handbook = case_file::default_models_directory() + "/handbook/";
  table::ValidationPage page;
  page.bands = table::read_bands(handbook + "bands.csv");
  page.published = table::read_published(handbook + "published.csv");
  check_writable(out);
  const auto s = solve_one(d, set_up, study::known_touches(), terminal);
  page.values = find_all_band_values(d, set_up, s, page.bands, terminal);
  study::TouchCurveOptions options;
  Progress progress(terminal);
  options.progress = [&](double share) {
    progress.report("touches", "touches", share);
    return !interrupted();
  };
  page.curves = study::find_touch_curves(d, s, options);
  progress.clear();
  if (interrupted()) return kStopped;
  page.title = d.title;
  page.set_up = s.name;
  page.command = "leverwright validation " + case_path;
  page.commit = commit;
  page.ours = table::find_published_values(s, page.curves);
  page.slow = table::find_slow_forces(s);
  write_text_file(out.empty() ? "-" : out, table::write_validation_page(page));
  if (!out.empty() && out != "-") say_written({out}, terminal);
  return kDone;
}

}  // namespace leverwright::app

#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "viz/app/band_values.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/bands.h"

namespace leverwright::app {

int run_bands(const std::string& case_path, const std::string& set_up, const std::string& csv,
              bool uncertainty, const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const auto bands = table::read_bands(case_file::default_models_directory() + "/handbook/bands.csv");
  check_writable(csv);
  const auto s = solve_one(d, set_up, study::known_touches(), terminal);
  auto values = find_all_band_values(d, set_up, s, bands, terminal);
  if (uncertainty) {
    Progress progress(terminal);
    put_uncertainty(d, set_up, values, [&](double share) {
      progress.report("uncertainty", "uncertainty", share);
      return !interrupted();  // what is there is shown without it then
    });
  }
  if (csv != "-")
    write_result(d.title + ", \"" + s.name + "\", against ranges of regulated grands\n\n" +
                 table::write_bands(bands, values, terminal.look));
  if (!csv.empty()) write_text_file(csv, table::write_bands_csv(bands, values));
  if (!csv.empty() && csv != "-") say_written({csv}, terminal);
  return kDone;
}

}  // namespace leverwright::app

#include <cmath>

#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "models/study/repetition.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/bands.h"

namespace leverwright::app {

int run_bands(const std::string& case_path, const std::string& set_up, const std::string& csv,
              const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const auto bands = table::read_bands(case_file::default_models_directory() + "/handbook/bands.csv");
  check_writable(csv);
  const auto s = solve_one(d, set_up, study::known_touches(), terminal);
  auto values = table::find_band_values(s);
  values.merge(table::find_band_values(s.touches));
  values.merge(table::find_string_band_values(s, static_cast<int>(std::lround(d.value("note.number")))));
  values.merge(table::find_struck_band_values(d, s));
  values.merge(table::find_extreme_band_values(s, bands));
  if (s.weighing.ok) {
    study::RepetitionOptions repeat;
    repeat.why = false;
    repeat.step = 1;
    Progress progress(terminal);
    repeat.progress = [&](double share) {
      progress.report("repetition", "repetition", share);
      return true;
    };
    const study::Repetition r = study::find_repetition(d, find_set_up(d, set_up), s, repeat);
    values["repetition"] = {r.full.unbroken, r.full.unbroken, "every rate to here holds", {}};
  }
  if (csv != "-")
    write_result(d.title + ", \"" + s.name + "\", against ranges of regulated grands\n\n" +
                 table::write_bands(bands, values, terminal.look));
  if (!csv.empty()) write_text_file(csv, table::write_bands_csv(bands, values));
  if (!csv.empty() && csv != "-") say_written({csv}, terminal);
  return kDone;
}

}  // namespace leverwright::app

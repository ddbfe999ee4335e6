#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "viz/app/output.h"
#include "viz/app/play_touches.h"
#include "viz/app/verbs.h"
#include "viz/table/bands.h"

namespace leverwright::app {

int run_bands(const std::string& case_path, const std::string& set_up, const std::string& csv,
              const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const std::size_t index = find_set_up(d, set_up);
  const auto bands = table::read_bands(case_file::default_models_directory() + "/handbook/bands.csv");
  check_writable(csv);
  study::CompareOptions options;
  options.uncertainty = false;
  const auto c = study::compare(only_set_up(d, index), options);
  const auto& s = c.set_ups.back();
  auto values = table::find_band_values(s);
  if (s.weighing.ok) values.merge(table::find_band_values(play_touches(d, s, known_touches(), terminal)));
  if (csv != "-")
    write_result(d.title + ", \"" + s.name + "\", against ranges of regulated grands\n\n" +
                 table::write_bands(bands, values, terminal.look));
  if (!csv.empty()) write_text_file(csv, table::write_bands_csv(bands, values));
  if (!csv.empty() && csv != "-") say_written({csv}, terminal);
  return kDone;
}

}  // namespace leverwright::app

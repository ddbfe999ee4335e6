#include "viz/app/band_values.h"

#include <cmath>

#include "models/playing/repetition.h"
#include "models/playing/stroke_spread.h"
#include "viz/app/set_ups.h"

namespace leverwright::app {

std::map<std::string, table::BandValue> find_all_band_values(const case_file::CaseDescription& d,
                                                             const std::string& set_up_name,
                                                             const study::SetUpResult& s,
                                                             const std::vector<table::Band>& bands,
                                                             VerbRun& run) {
  auto values = table::find_band_values(s);
  values.merge(table::find_band_values(s.touches));
  values.merge(table::find_string_band_values(s, static_cast<int>(std::lround(d.value("note.number")))));
  table::add_band_values(table::find_finger_band_values(d, s), values);
  values.merge(table::find_extreme_band_values(s, bands));
  if (!s.weighing.ok) return values;
  playing::RepetitionOptions repeat;
  repeat.why = false;
  repeat.step = 1;
  repeat.progress = run.reporter("repetition", "repetition");
  const playing::Repetition r = playing::find_repetition(d, find_set_up(d, set_up_name), s, repeat);
  if (run.stop_asked()) return values;
  values["repetition"] = {r.full.unbroken, r.full.unbroken, "every rate to here holds", {}};
  return values;
}

bool put_uncertainty(const case_file::CaseDescription& d, const std::string& set_up_name,
                     std::map<std::string, table::BandValue>& values,
                     const std::function<bool(double share)>& progress) {
  playing::SpreadOptions options;
  options.touches = study::known_touches();
  options.progress = progress;
  const auto ask = [](const study::SetUpResult& s) {
    auto found = table::find_band_values(s);
    found.merge(table::find_band_values(s.touches));
    return table::flatten_band_values(found);
  };
  const auto spread = playing::find_stroke_spread(d, find_set_up(d, set_up_name), ask, options);
  std::map<std::string, double> sigmas;
  for (const auto& [name, s] : spread) sigmas[name] = s.sigma;
  table::put_sigmas(sigmas, values);
  return !spread.empty();
}

}  // namespace leverwright::app

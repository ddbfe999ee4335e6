#include "viz/app/band_values.h"

#include <cmath>

#include "models/study/repetition.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"

namespace leverwright::app {

std::map<std::string, table::BandValue> find_all_band_values(const case_file::CaseDescription& d,
                                                             const std::string& set_up_name,
                                                             const study::SetUpResult& s,
                                                             const std::vector<table::Band>& bands,
                                                             const Terminal& terminal) {
  auto values = table::find_band_values(s);
  values.merge(table::find_band_values(s.touches));
  values.merge(table::find_string_band_values(s, static_cast<int>(std::lround(d.value("note.number")))));
  values.merge(table::find_struck_band_values(d, s));
  values.merge(table::find_extreme_band_values(s, bands));
  if (!s.weighing.ok) return values;
  study::RepetitionOptions repeat;
  repeat.why = false;
  repeat.step = 1;
  Progress progress(terminal);
  repeat.progress = [&](double share) {
    progress.report("repetition", "repetition", share);
    return true;
  };
  const study::Repetition r = study::find_repetition(d, find_set_up(d, set_up_name), s, repeat);
  values["repetition"] = {r.full.unbroken, r.full.unbroken, "every rate to here holds", {}};
  return values;
}

}  // namespace leverwright::app

#include "models/search/write_map.h"

#include <fmt/format.h>

#include "models/judgement/sentences.h"
#include "models/study/write_study.h"

namespace leverwright::search {

namespace {

std::string si_unit(const Vary& v) {
  return v.unit == "mm" ? "m" : v.unit == "deg" ? "rad" : v.unit == "g" ? "kg" : v.unit == "gf" ? "N" : "1";
}

}  // namespace

void write_map(const case_file::CaseDescription& d, const AmountMap& m, const std::string& path) {
  study::StudyFile file(d, path);
  const std::vector<std::string> warnings = file.add_base(d);
  store::StudyWriter& out = file.writer();

  const std::string group = "/map";
  const std::size_t n = m.seek.vary.size(), n0 = m.axes.front().size();
  for (std::size_t k = 0; k < n; ++k) {
    const Vary& v = m.seek.vary[k];
    const std::string unit = si_unit(v);
    const auto meta = store::make_meta(unit, unit == "1" ? "1" : v.unit, "none", v.name);
    out.write_series(group, fmt::format("amount_{}", k), m.axes[k], meta);
    out.write_series(group, fmt::format("as_written_{}", k), std::vector<double>{m.as_written[k]}, meta);
    if (!m.best.empty())
      out.write_series(group, fmt::format("best_{}", k), std::vector<double>{m.best[k]}, meta);
  }
  for (std::size_t k = 0; k < kTrialNumberCount; ++k) {
    const study::MeasureInfo& info = kTrialNumbers[k];
    const auto meta = store::make_meta_unknown_allowed(
        info.unit, info.display_unit, "none",
        std::string(info.name) + "; rows: second amount, columns: first amount");
    out.write_series(group + "/numbers", info.key, m.values[k], n0, meta);
  }
  out.write_strings(group, "excluded_because", m.why,
                    "why a point has no numbers, row by row; empty where it has");
  out.write_attribute(group, "name", m.seek.name);
  out.write_attribute(group, "question", m.seek.question);
  out.write_attribute(group, "undone", std::string(judgement::undone_words(m.seek.undone)));
  std::vector<std::string> shown;
  for (const std::size_t k : m.seek.maps) shown.emplace_back(kTrialNumbers[k].key);
  out.write_attribute(group, "shown", shown);
  out.write_attribute(group, "sought", std::string(kTrialNumbers[m.seek.number].name));
  if (m.whole)
    file.finish(warnings);
  else
    file.stop(fmt::format("interrupted by the user after {} of {} points", m.done, m.why.size()));
}

}  // namespace leverwright::search

#include "models/playing/write_misadjust.h"

namespace leverwright::playing {

void write_misadjustment(store::StudyWriter& w, const std::string& at, const Misadjustment& result) {
  std::vector<std::string> setting, words, faults;
  std::vector<double> moved;
  for (const MisadjustRow& r : result.rows) {
    setting.push_back(r.screw < 0 ? "as regulated" : action::kScrewNames[r.screw]);
    words.push_back(r.words);
    moved.push_back(r.moved);
    std::string all;
    for (const auto& f : r.faults) all += (all.empty() ? "" : "; ") + f;
    faults.push_back(all);
  }
  store::Table table;
  table.description =
      "one regulation setting moved at a time, everything else and the finger's force left as they were; "
      "first "
      "row: as regulated";
  table.columns = {
      store::text_column("setting", "what was moved", setting),
      store::text_column("words", "by how much and which way", words),
      store::number_column(
          "moved",
          store::make_meta("m", "mm", "none", "signed; the spring's 0.1 mm stands for 2 % of its torque"),
          moved)};
  for (std::size_t k = 0; k < kMisCount; ++k) {
    const MisadjustInfo& info = kMisadjustMeasures[k];
    std::vector<double> values;
    for (const MisadjustRow& r : result.rows) values.push_back(r.values[k]);
    table.columns.push_back(store::number_column(
        info.key,
        store::make_meta_unknown_allowed(info.unit, info.display_unit, "none",
                                         std::string(info.name) + "; not a number where it does not exist"),
        values));
  }
  table.columns.push_back(store::text_column("faults", "what goes wrong, touch by touch", faults));
  w.write_table(at, "misadjustment", table);
  for (const MisadjustInfo& info : kMisadjustMeasures)
    w.write_attribute(at + "/misadjustment", std::string("noticeable_") + info.key, info.noticeable);
}

}  // namespace leverwright::playing

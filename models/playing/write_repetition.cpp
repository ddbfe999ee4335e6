#include "models/playing/write_repetition.h"

#include <cmath>

#include "models/study/plain_number.h"

namespace leverwright::playing {

using store::make_meta;

namespace {

void write_ladder(store::StudyWriter& w, const std::string& at, const Ladder& ladder) {
  std::vector<double> rate, single, good, sounding, set, key;
  for (const Rung& r : ladder.rungs) {
    const double n = std::max(1, r.counted);
    rate.push_back(r.rate);
    single.push_back(r.single_speed);
    good.push_back(r.share_good());
    sounding.push_back(r.sounding / n);
    set.push_back(r.jack_set / n);
    key.push_back(r.key_height);
  }
  const auto series = [&](const char* name, const std::vector<double>& v, const char* unit, const char* shown,
                          const char* what) {
    w.write_series(at, name, v, make_meta(unit, shown, "none", what));
  };
  series("rate", rate, "1/s", "1/s", "strokes in a second");
  series("single_speed", single, "m/s", "m/s", "hammer speed of a single stroke of the same key travel");
  series("share_good", good, "1", "1", "share of strokes with 80 % of that speed or more");
  series("share_sounding", sounding, "1", "1", "share of strokes whose hammer meets the string");
  series("share_jack_set", set, "1", "1",
         "share of strokes at whose beginning the jack stands under the knuckle on its stop");
  series("key_height", key, "m", "mm", "playing point below its rest, least before each stroke, mean");
  w.write_attribute(at, "back", ladder.back);
  w.write_attribute(at, "highest_rate", ladder.highest);
  w.write_attribute(at, "unbroken_rate", ladder.unbroken);
}

}  // namespace

std::vector<store::Number> find_repetition_numbers(const Repetition& r) {
  std::vector<store::Number> out;
  const auto add = [&](const char* name, double value, const char* unit, const char* shown,
                       const char* what) {
    out.push_back(study::plain_number(name, value, unit, shown, what));
  };
  add("highest rate, full return", r.full.highest, "1/s", "1/s",
      "greatest rate tried at which nine strokes of ten have 80 % of a single stroke's hammer speed");
  add("unbroken up to, full return", r.full.unbroken, "1/s", "1/s", "every rate tried up to here holds");
  add("highest rate, partial return", r.partial.highest, "1/s", "1/s",
      "the same, the finger going back part of the way");
  add("unbroken up to, partial return", r.partial.unbroken, "1/s", "1/s",
      "every rate tried up to here holds");
  add("least return that sounds", r.second.least_sounding, "m", "mm",
      "key let up slowly from the bottom: from here on a second blow reaches the string");
  add("least return for a good blow", r.second.least_good, "m", "mm",
      "the same, with 80 % of the hammer speed of a single stroke of that travel");
  add("least return with the jack set", r.second.least_set, "m", "mm",
      "the same, until the jack stands under the knuckle");
  add("jack reset time", r.second.reset_time, "s", "ms",
      "from the finger's going up, at the ladder's own quickness, until the jack is under the knuckle");
  add("dip at jack reset, quick finger", r.second.reset_dip, "m", "mm", "of the playing point then");
  add("dip at jack reset, slow finger", r.second.slow_reset_dip, "m", "mm", "finger up in 0.4 s");
  return out;
}

void write_repetition(store::StudyWriter& w, const std::string& set_up, const Repetition& r,
                      const RepetitionOptions& o) {
  const std::string at = set_up + "/repetition";
  write_ladder(w, at + "/full", r.full);
  write_ladder(w, at + "/partial", r.partial);
  std::vector<store::Number> known;
  for (const auto& n : find_repetition_numbers(r))
    if (std::isfinite(n.value)) known.push_back(n);
  w.write_numbers(at, "limits", known, "limits of repetition; what does not exist has no row");
  if (!r.influences.empty()) {
    std::vector<std::string> kind, less, more;
    std::vector<double> full_less, full_more, partial_less, partial_more;
    for (const Influence& i : r.influences) {
      kind.push_back(i.kind);
      less.push_back(i.less);
      more.push_back(i.more);
      full_less.push_back(i.full_less);
      full_more.push_back(i.full_more);
      partial_less.push_back(i.partial_less);
      partial_more.push_back(i.partial_more);
    }
    const auto change = [](const char* what) { return make_meta("1/s", "1/s", "none", what); };
    w.write_table(
        at, "influences",
        {"what moves the limits: one thing changed at a time, screws left alone",
         {store::text_column("name", "what was changed", kind),
          store::text_column("less", "how, one way", less),
          store::text_column("more", "how, the other way", more),
          store::number_column("full_less", change("change of the unbroken limit, full return"), full_less),
          store::number_column("full_more", change("the same, the other way"), full_more),
          store::number_column("partial_less", change("change of the unbroken limit, partial return"),
                               partial_less),
          store::number_column("partial_more", change("the same, the other way"), partial_more)}});
  }
  w.write_attribute(at, "words", r.words);
  w.write_attribute(at, "finger_down_time", o.down_time);
  w.write_attribute(at, "finger_up_time", o.up_time);
  w.write_attribute(at, "time_jitter", o.time_jitter);
  w.write_attribute(at, "height_jitter", o.height_jitter);
  w.write_attribute(at, "seed", static_cast<std::int64_t>(o.seed));
  w.write_attribute(at, "strokes_counted", o.strokes - 1);
}

}  // namespace leverwright::playing

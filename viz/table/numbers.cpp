#include "viz/table/numbers.h"

#include <algorithm>
#include <limits>

#include "models/study/quantities.h"
#include "models/study/write_strokes.h"

namespace leverwright::table {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

std::string key_of(std::string name) {  // "steady finger force" -> "steady_finger_force"
  std::replace(name.begin(), name.end(), ' ', '_');
  return name;
}

// No uncertainty is propagated through strokes: there are changes, but no sigmas and no judgement.
void add_touches(const study::SetUpResult& s, const study::SetUpResult* base, std::vector<NumberLine>& out) {
  for (std::size_t k = 0; k < s.touches.size(); ++k) {
    const auto numbers = study::find_touch_numbers(s.touches[k]);
    std::vector<store::Number> of_base;
    if (base && k < base->touches.size()) of_base = study::find_touch_numbers(base->touches[k]);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      const auto& n = numbers[i];
      out.push_back({"touch " + s.touches[k].name, key_of(n.name), n.name, n.display_unit, n.displayed(),
                     kNone, i < of_base.size() ? n.displayed() - of_base[i].displayed() : kNone, kNone, "",
                     "", ""});
    }
  }
}

}  // namespace

std::string judgement_word(study::Judgement judgement) { return judgement::words_of(judgement); }

std::vector<NumberLine> find_numbers(const study::SetUpResult& s, const study::SetUpResult* base,
                                     bool uncertainty) {
  std::vector<NumberLine> out;
  for (std::size_t k = 0; k < study::kQuantityCount; ++k) {
    const study::Quantity& q = study::kQuantities[k];
    const double f = q.display_factor;
    const study::Reading reading = study::read_quantity(q, s);
    NumberLine line{q.group, q.key, q.name, q.display_unit, reading.value * f, kNone, kNone, kNone,
                    "",      "",    ""};
    line.why_absent = reading.why_absent;
    if (k < study::kMeasureCount) {
      const auto& m = s.results[k];
      line.value = m.value * f;
      if (uncertainty && m.sigma > 0) line.sigma = m.sigma * f;  // zero: not worked out
      if (base) {
        line.change = m.difference * f;
        if (uncertainty) {
          if (m.sigma_difference > 0) line.sigma_of_change = m.sigma_difference * f;
          line.judgement = judgement_word(m.judgement);
          line.nearer = m.nearer;
        }
      }
      line.dominant = m.dominant;
    }
    out.push_back(line);
  }
  if (s.weighing.ok) add_touches(s, base, out);
  return out;
}

}  // namespace leverwright::table

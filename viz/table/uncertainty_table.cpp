#include "viz/table/uncertainty_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/study/sample_notes.h"
#include "viz/table/compare_table.h"
#include "viz/table/numbers.h"

namespace leverwright::table {

using study::kMeasures;
using study::MeasureIndex;

namespace {

constexpr int kNotesOfAPiano = 88;

std::string with_sigma(double value, double sigma, const study::MeasureInfo& info) {
  return fixed_signed(value * info.display_factor, info.decimals) + " +- " +
         fixed(sigma * info.display_factor, info.decimals + (sigma * info.display_factor < 0.1 ? 1 : 0));
}

bool is_shown(MeasureIndex k) {
  return k == study::kDownWeight || k == study::kUpWeight || k == study::kFriction || k == study::kAftertouch;
}

}  // namespace

std::string notes_words(int notes) {
  if (notes == 0) return "never";
  if (notes > kNotesOfAPiano) return "over 88";
  return std::to_string(notes);
}

std::string write_dominant_inputs(const study::Comparison& c, const Look& look) {
  Grid grid({24, 23, 0, 0});
  grid.add({{"set-up", Colour::kHeading},
            {"measure", Colour::kHeading},
            {"share", Colour::kHeading},
            {"what makes it unsure", Colour::kHeading}});
  for (std::size_t s = 0; s < c.set_ups.size(); ++s)
    for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
      const auto index = static_cast<MeasureIndex>(k);
      const auto& m = c.set_ups[s].results[k];
      const double sigma = (s == 0 ? m.sigma : m.sigma_difference) * kMeasures[k].display_factor;
      if (!is_shown(index) || m.dominant.empty() || !(sigma > 0.5 * std::pow(10.0, -kMeasures[k].decimals)))
        continue;
      grid.add({{c.set_ups[s].name},
                {s == 0 ? kMeasures[k].name : std::string("change of ") + kMeasures[k].name},
                {fixed(100 * m.dominant_share, 0) + " %", Colour::kPlain, true},
                {m.dominant}});
    }
  return grid.write(look);
}

std::string write_monte_carlo(const study::Comparison& c, const Look& look) {
  if (!c.monte_carlo) return "";
  const auto& mc = *c.monte_carlo;
  std::string out =
      wrap(fmt::format(
               "Drawn {} times{} with seed {}: every +- normal, every estimate uniform over its range, what "
               "is common to two set-ups the same in both.",
               mc.done, mc.done < mc.asked ? fmt::format(" (of {}; stopped)", mc.asked) : "", mc.seed),
           look.width);
  for (std::size_t s = 0; s < mc.failed.size(); ++s) {
    std::string reasons;
    for (const auto& [reason, count] : mc.failed_for[s])
      reasons += fmt::format("{}{} {}", reasons.empty() ? "" : ", ", count, reason);
    if (mc.failed[s] > 0)
      out += wrap(fmt::format("{}: {} of {} draws could not be regulated or weighed and are left out ({}).",
                              c.set_ups[s].name, mc.failed[s], mc.done, reasons),
                  look.width, "- ", "  ");
  }
  if (std::any_of(mc.failed.begin(), mc.failed.end(), [](int k) { return k > 0; }))
    out += wrap(
        "The numbers are of the draws that could be: an action that regulates is what stands on the "
        "bench. Many failures mean that parts were measured too roughly for so tight a train.",
        look.width);
  Grid grid({22, 12, 0, 0, 0, 0, 0, 0}, 1);
  grid.add({{"set-up", Colour::kHeading},
            {"change of", Colour::kHeading},
            {" straight line", Colour::kHeading},
            {" mean", Colour::kHeading, true},
            {"sd", Colour::kHeading, true},
            {" 2.5 to 97.5 %", Colour::kHeading},
            {" verdict", Colour::kHeading},
            {" share of the largest", Colour::kHeading}});
  for (std::size_t s = 0; s < mc.set_ups.size(); ++s)
    for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
      const auto index = static_cast<MeasureIndex>(k);
      const auto& info = kMeasures[k];
      const auto& linear = c.set_ups[s].results[k];
      const auto& m = mc.set_ups[s][k];
      const auto& spread = s == 0 ? m.value : m.difference;
      if (!is_shown(index) || !(spread.sd * info.display_factor > 0.2 * std::pow(10.0, -info.decimals)))
        continue;
      const double f = info.display_factor;
      const std::string judged = s == 0 ? "" : judgement_word(m.judgement);
      const bool agrees = s == 0 ? m.value_agrees : m.difference_agrees;
      grid.add({{s == 0 ? c.set_ups[s].name + " (itself)" : c.set_ups[s].name},
                {info.name},
                {" " + (s == 0 ? with_sigma(linear.value, linear.sigma, info)
                               : with_sigma(linear.difference, linear.sigma_difference, info))},
                {fixed_signed(spread.mean * f, info.decimals), Colour::kPlain, true},
                {fixed(spread.sd * f, info.decimals + (spread.sd * f < 0.1 ? 1 : 0)), Colour::kPlain, true},
                {" " + fixed_signed(spread.low * f, info.decimals) + " to " +
                 fixed_signed(spread.high * f, info.decimals)},
                {" " + judged + (agrees ? "" : (judged.empty() ? "differs" : ", differs")),
                 agrees ? Colour::kPlain : Colour::kBad},
                {spread.dominant.empty()
                     ? ""
                     : fmt::format(" {:.0f} % {}", 100 * spread.dominant_share, spread.dominant)}});
    }
  out += "\n" + grid.write(look) + "\n";
  out += wrap(mc.disagreements.empty()
                  ? "The straight-line uncertainties agree with the draws."
                  : "\"differs\": the straight line is off by more than chance and a tenth; use the drawn "
                    "percentiles there.",
              look.width);
  std::string changed;
  for (std::size_t s = 1; s < mc.set_ups.size(); ++s)
    for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
      const auto drawn = mc.set_ups[s][k].judgement, linear = c.set_ups[s].results[k].judgement;
      if (drawn != linear && linear != study::Judgement::kNone && drawn != study::Judgement::kNone)
        changed +=
            wrap(fmt::format("{}, {}: {} by the straight line, {} by the draws (nearer to what is wanted "
                             "in {:.0f} of 100).",
                             c.set_ups[s].name, kMeasures[k].name, judgement_word(linear),
                             judgement_word(drawn), 100 * mc.set_ups[s][k].nearer),
                 look.width, "- ", "  ");
    }
  out += changed.empty() ? wrap("No verdict changes.", look.width)
                         : wrap("Verdicts that change:", look.width) + changed;
  return out;
}

std::string write_sample_notes(const study::Comparison& c, const Look& look) {
  const auto plans = study::plan_sample_notes(c);
  const auto find = [&](std::size_t a, std::size_t b, MeasureIndex k) {
    return std::find_if(plans.begin(), plans.end(),
                        [&](const auto& p) { return p.a == a && p.b == b && p.measure == k; });
  };
  Grid grid({0, 0, 0, 0, 0, 0, 0}, 1);
  const auto head = [](const char* text) { return Cell{text, Colour::kHeading, true}; };
  grid.add({{"to tell apart", Colour::kHeading},
            head(" down weight"),
            head("measured"),
            head("tried"),
            head(" friction"),
            head("measured"),
            head("tried")});
  bool any = false;
  for (std::size_t a = 0; a < c.set_ups.size(); ++a)
    for (std::size_t b = a + 1; b < c.set_ups.size(); ++b) {
      std::vector<Cell> row{{c.set_ups[a].name + " / " + c.set_ups[b].name}};
      bool some = false;
      for (const MeasureIndex k : {study::kDownWeight, study::kFriction}) {
        const auto p = find(a, b, k);
        if (p == plans.end()) {
          row.insert(row.end(), {{"-", Colour::kPlain, true}, {""}, {""}});
          continue;
        }
        some = true;
        row.push_back(
            {with_sigma(p->difference, std::hypot(p->predicted_scatter, p->predicted_common), kMeasures[k]),
             Colour::kPlain, true});
        row.push_back({notes_words(p->notes_predicted), Colour::kPlain, true});
        row.push_back({notes_words(p->notes_tried), Colour::kPlain, true});
      }
      if (some) grid.add(row);
      any = any || some;
    }
  if (!any) return "";
  return grid.write(look) + "\n" +
         wrap(
             "Measured: so many sample notes, measured afresh and computed, tell the two apart (95 % sure, "
             "seen in 80 % of such trials). Never: what all notes share, such as estimated constants, does "
             "not "
             "average out however many are measured. Tried: both done on so many notes, regulated and "
             "weighed, "
             "each reading with its usual error (1.5 gf). Errors are taken as normal, notes as independent.",
             look.width);
}

std::string write_uncertainty(const study::Comparison& c, const Look& look) {
  if (!has_uncertainty(c)) return "";
  std::string out = write_dominant_inputs(c, look);
  const std::string drawn = write_monte_carlo(c, look);
  if (!drawn.empty()) out += "\n" + drawn;
  const std::string notes = write_sample_notes(c, look);
  if (!notes.empty()) out += "\n" + paint("How many sample notes", Colour::kHeading, look) + "\n\n" + notes;
  return out;
}

}  // namespace leverwright::table

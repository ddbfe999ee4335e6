#include "viz/table/bands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/table/csv.h"

namespace leverwright::table {

namespace {

std::string value_words(const BandValue& v) {
  const auto words = [&](double x) {
    const double sigma = bands::sigma_at(v, x);
    return std::isfinite(sigma) ? fmt::format("{:.3g} +- {:.2g}", x, sigma) : fmt::format("{:.3g}", x);
  };
  return v.low == v.high ? words(v.low) : words(v.low) + " to " + words(v.high);
}

}  // namespace

std::vector<BandRow> find_band_rows(const std::vector<Band>& bands,
                                    const std::map<std::string, BandValue>& values) {
  std::vector<BandRow> rows;
  for (const Band& band : bands) {
    const BandValue* found = bands::find_value(values, band.id);
    if (!found) {
      rows.push_back({band, "", bands::judge_band(band, values), "", "", false});
      continue;
    }
    if (band.use == "shown") {
      rows.push_back({band, value_words(*found), "shown", found->note, "", false});
      continue;
    }
    for (const BandValue& part : bands::split_band_value(band, *found)) {
      const bool in = bands::meets(band, part);
      rows.push_back({band, value_words(part),
                      !in                 ? "OUT"
                      : band.use == "own" ? "own width"
                                          : "in",
                      part.note, in ? "" : bands::reason_for(band.id), bands::reaches(band, part)});
    }
  }
  return rows;
}

namespace {

// The rows, and what they come to.
std::pair<std::string, std::string> band_texts(const std::vector<Band>& bands,
                                               const std::map<std::string, BandValue>& values,
                                               const Look& look) {
  const bool uncertain =
      std::any_of(values.begin(), values.end(), [](const auto& v) { return !v.second.sigmas.empty(); });
  const int source = std::max(20, look.width - (uncertain ? 107 : 97));
  Grid grid({26, 13, uncertain ? 24 : 14, 11, 3, 4, 18, source}, 1);
  grid.add({{"quantity", Colour::kQuiet},
            {"condition", Colour::kQuiet},
            {"ours", Colour::kQuiet, true},
            {"range", Colour::kQuiet, true},
            {""},
            {""},
            {"ours read off", Colour::kQuiet},
            {"source of the range", Colour::kQuiet}});
  grid.add_rule();
  int in = 0, out = 0, own = 0, shown = 0;
  std::vector<std::string> reasons, missing;
  for (const Band& band : bands) {
    const BandValue* found = bands::find_value(values, band.id);
    const std::string judged = bands::judge_band(band, values);
    const std::string name =
        band.condition.empty() ? band.quantity : band.quantity + " (" + band.condition + ")";
    if (!found) {
      missing.push_back(name + ": " + judged);
      continue;
    }
    ++(judged == "in" ? in : judged == "shown" ? shown : judged == "own width" ? own : out);
    if (judged == "out") {
      const std::string reason = bands::reason_for(band.id);
      bool near = false;
      for (const BandValue& part : bands::split_band_value(band, *found))
        near = near || bands::reaches(band, part);
      reasons.push_back(name + ": " + (near ? "its own uncertainty reaches the range (95 %); " : "") +
                        (reason.empty() ? "no reason is known; look at the case" : reason));
    }
    bool first = true;
    for (const BandValue& part :
         judged == "shown" ? std::vector<BandValue>{*found} : bands::split_band_value(band, *found)) {
      const bool good = bands::meets(band, part);
      grid.add({{first ? band.quantity : ""},
                {first ? band.condition : "", Colour::kQuiet},
                {value_words(part), Colour::kPlain, true},
                {fmt::format("{:g} to {:g}", band.low, band.high), Colour::kPlain, true},
                {band.unit == "1" ? "" : band.unit, Colour::kQuiet},
                judged == "shown"           ? Cell{"-", Colour::kQuiet}
                : good && band.use == "own" ? Cell{"own", Colour::kBad}
                                            : Cell{good ? "in" : "OUT", good ? Colour::kGood : Colour::kBad},
                {part.note, Colour::kQuiet},
                {first ? band.source : "", Colour::kQuiet}});
      first = false;
    }
  }
  std::string text = wrap(
      fmt::format("{} in, {} out, {} not reached. No single action need fall into every range.{}{}", in, out,
                  missing.size(),
                  own > 0 ? fmt::format(" {} more lie inside a range whose width about the published figure "
                                        "we set ourselves (own): no evidence, counted as missed.",
                                        own)
                          : "",
                  shown > 0 ? fmt::format(" {} more without a trustworthy source (-) are shown and not "
                                          "judged.",
                                          shown)
                            : ""),
      look.width);
  if (!reasons.empty()) text += "\nOut of range, and why\n";
  for (const auto& r : reasons) text += wrap(r, look.width, "- ", "  ");
  const BandValue* held = bands::find_value(values, "held_after_string");
  if (held)
    text += wrap(fmt::format("hammer held within 0.5 mm of where it is caught: {} ms after the string ({})",
                             value_words(*held), held->note),
                 look.width, "- ", "  ");
  if (!missing.empty()) text += "\nNot reached\n";
  for (const auto& m : missing) text += wrap(m, look.width, "- ", "  ");
  return {grid.write(look) + "\n", text};
}

}  // namespace

std::string write_bands(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values,
                        const Look& look) {
  const auto [rows, answer] = band_texts(bands, values, look);
  return rows + answer;
}

Document bands_document(const std::string& title, const std::vector<Band>& bands,
                        const std::map<std::string, BandValue>& values) {
  Document d;
  d.note(title);
  d.space();
  d.details("every row with its range and source");
  d.text([=](const Look& look) { return band_texts(bands, values, look).first; });
  d.essentials();
  d.text([=](const Look& look) { return band_texts(bands, values, look).second; });
  return d;
}

std::string write_bands_csv(const std::vector<Band>& bands, const std::map<std::string, BandValue>& values) {
  std::string out =
      join_csv({"id", "quantity", "condition", "unit", "ours_low", "ours_high", "low", "high", "result",
                "read_off", "reason", "source", "ours_low_sigma", "ours_high_sigma", "uncertainty_reaches"});
  for (const Band& band : bands) {
    const BandValue* found = bands::find_value(values, band.id);
    const std::string judged = bands::judge_band(band, values);
    for (const BandValue& part : !found              ? std::vector<BandValue>{{}}
                                 : judged == "shown" ? std::vector<BandValue>{*found}
                                                     : bands::split_band_value(band, *found)) {
      const std::string result = !found || judged == "shown" ? judged
                                 : !bands::meets(band, part) ? "out"
                                 : band.use == "own"         ? "missed: own width"
                                                             : "in";
      out += join_csv({band.id, band.quantity, band.condition, band.unit, found ? csv_number(part.low) : "",
                       found ? csv_number(part.high) : "", csv_number(band.low), csv_number(band.high),
                       result, part.note, result == "out" ? bands::reason_for(band.id) : "", band.source,
                       found ? csv_number(bands::sigma_at(part, part.low)) : "",
                       found ? csv_number(bands::sigma_at(part, part.high)) : "",
                       result == "out" && bands::reaches(band, part) ? "yes" : "no"});
    }
  }
  return out;
}

}  // namespace leverwright::table

#include "viz/table/compare_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/judgement/sentences.h"
#include "models/study/quantities.h"
#include "viz/table/answer.h"
#include "viz/table/bench_table.h"
#include "viz/table/cautions.h"
#include "viz/table/notes.h"
#include "viz/table/touch_table.h"
#include "viz/table/uncertainty_table.h"
#include "viz/table/weigh_table.h"

namespace leverwright::table {

using study::Comparison;
using study::Judgement;
using study::kMeasures;
using study::MeasureIndex;
using study::MeasureResult;
using study::SetUpResult;

namespace {

// What a measure's row shows of one set-up.
struct Shown {
  std::string value, change, sigma, mark;
  Colour colour = Colour::kPlain;
};

bool is_screw_specification(MeasureIndex k) {
  return k == study::kDip || k == study::kBlow || k == study::kAftertouch;
}

std::string mark_of(Judgement word) {
  switch (word) {
    case Judgement::kBetter:
      return "better";
    case Judgement::kProbablyBetter:
      return "prob.+";
    case Judgement::kProbablyWorse:
      return "prob.-";
    case Judgement::kWorse:
      return "worse";
    case Judgement::kNoChange:
      return "=";
    case Judgement::kInRange:
      return "usual";
    case Judgement::kCannotTell:
      return "?";
    default:
      return "";
  }
}

// Nothing where no uncertainty was worked out; never a false "+-0".
std::string sigma_words(double sigma, int decimals) {
  if (!(sigma > 1e-9)) return "";
  for (int more = 0; more < 2; ++more) {
    const std::string text = fixed(sigma, decimals + more);
    if (text.find_first_of("123456789") != std::string::npos) return "+-" + text;
  }
  return "";
}

Shown find_entry(const SetUpResult& set_up, MeasureIndex k, bool uncertainty) {
  const auto& info = kMeasures[k];
  const MeasureResult& m = set_up.results[k];
  Shown e;
  if (!set_up.weighing.ok || !std::isfinite(m.value)) {
    e.value = "-";
    return e;
  }
  e.value = fixed(m.value * info.display_factor, info.decimals);
  const double shown_last = 0.5 * std::pow(10.0, -info.decimals);
  if (is_screw_specification(k) && std::abs(m.difference * info.display_factor) < shown_last) {
    e.change = "kept";
    return e;
  }
  e.change = fixed_signed(m.difference * info.display_factor, info.decimals);
  if (!uncertainty) return e;  // nothing is better or worse that may be no difference at all
  e.sigma = sigma_words(m.sigma_difference * info.display_factor, info.decimals);
  e.mark = mark_of(m.judgement);
  if (e.mark == "better" || e.mark == "prob.+") e.colour = Colour::kGood;
  if (e.mark == "worse" || e.mark == "prob.-") e.colour = Colour::kBad;
  return e;
}

std::string unit_of(MeasureIndex k) {
  return std::string(kMeasures[k].display_unit) == "1" ? "" : kMeasures[k].display_unit;
}

// Widths inside a block; everything stands one blank apart.
constexpr int kLabel = 22, kUnit = 2, kValue = 5, kChange = 5, kSigma = 5, kMark = 6;
constexpr int kBase = kValue + 1 + kSigma;

int set_up_width(bool uncertainty) {
  return 1 + kValue + 1 + kChange + (uncertainty ? 1 + kSigma : 0) + 1 + kMark;
}

// One block: the base and set-ups `from` to `to`.
std::string write_block(const Comparison& c, std::size_t from, std::size_t to, const Look& look) {
  const bool uncertainty = has_uncertainty(c);
  std::vector<int> columns{kLabel, kUnit, kBase};
  std::vector<Cell> names{{""}, {""}, {c.set_ups[0].name, Colour::kHeading}};
  for (std::size_t s = from; s < to; ++s) {
    columns.push_back(set_up_width(uncertainty));
    names.push_back({"  " + c.set_ups[s].name, Colour::kHeading});
  }
  Grid top(columns, 1);
  top.add(names);
  std::vector<Cell> undone{{""}, {""}, {""}};
  for (std::size_t s = from; s < to; ++s) {
    const bool never = c.set_ups[s].undone == judgement::kNotReversible;
    undone.push_back({std::string("  ") + judgement::undone_words(c.set_ups[s].undone),
                      never ? Colour::kBad : Colour::kQuiet});
  }
  top.add(undone);
  top.add_rule();

  std::vector<int> widths{kLabel, kUnit, kValue, kSigma};
  for (std::size_t s = from; s < to; ++s) {
    widths.insert(widths.end(), {1 + kValue, kChange});
    if (uncertainty) widths.push_back(kSigma);
    widths.push_back(kMark);
  }
  Grid body(widths, 1);
  for (std::size_t i = 0; i < study::kMeasureCount; ++i) {
    const auto k = static_cast<MeasureIndex>(i);
    const Shown base = find_entry(c.set_ups[0], k, false);
    const double sigma = c.set_ups[0].results[i].sigma * kMeasures[i].display_factor;
    std::vector<Cell> row{{short_label(k)},
                          {unit_of(k), Colour::kQuiet},
                          {base.value, Colour::kPlain, true},
                          {uncertainty ? sigma_words(sigma, kMeasures[i].decimals) : "", Colour::kQuiet}};
    for (std::size_t s = from; s < to; ++s) {
      const Shown e = find_entry(c.set_ups[s], k, uncertainty);
      row.push_back({e.value, Colour::kPlain, true});
      row.push_back({e.change, e.change == "kept" ? Colour::kQuiet : e.colour, true});
      if (uncertainty) row.push_back({e.sigma, Colour::kQuiet});
      row.push_back({e.mark, e.colour});
    }
    body.add(row);
  }
  return top.write(look) + body.write(look);
}

std::string heading(const std::string& text, const Look& look) {
  return "\n" + paint(text, Colour::kHeading, look) + "\n\n";
}

}  // namespace

bool has_uncertainty(const Comparison& c) { return !c.inputs.empty(); }

std::string verdict_of(const Comparison& c, std::size_t k) {
  const SetUpResult& s = c.set_ups[k];
  return has_uncertainty(c) || !s.weighing.ok ? s.verdict : "";
}

std::string short_label(MeasureIndex k) { return study::kQuantities[k].label; }

std::string write_heading(const case_file::CaseDescription& d, const Comparison& c, const Look& look) {
  std::string out = wrap(paint(d.title, Colour::kHeading, Look{look.width, false}), look.width);
  if (look.colour) out = paint(out.substr(0, out.size() - 1), Colour::kHeading, look) + "\n";
  if (!d.question.empty()) out += wrap(d.question, look.width);
  const std::string note = d.choices.count("note.name") ? "Note " + d.choice("note.name") + ", " : "";
  out +=
      wrap(fmt::format("{}{}{}: every set-up is regulated afresh ({}) before it is weighed. Base: {}.", note,
                       d.instrument,
                       d.invented && d.instrument.find("invented") == std::string::npos ? " (invented)" : "",
                       d.choice("regulation.policy"), c.set_ups.front().name),
           look.width);
  return out;
}

std::string write_measures(const Comparison& c, const Look& look) {
  const bool uncertainty = has_uncertainty(c);
  const int left = kLabel + 1 + kUnit + 1 + kBase, each = 1 + set_up_width(uncertainty);
  const std::size_t beside = static_cast<std::size_t>(std::max(1, (look.width - left) / each));
  std::string out;
  std::size_t from = 1;
  do {
    const std::size_t to = std::min(c.set_ups.size(), from + beside);
    out += (out.empty() ? "" : "\n") + write_block(c, from, to, look);
    from = to;
  } while (from < c.set_ups.size());
  out += "\n";
  out += wrap(
      uncertainty
          ? "For each set-up: value, change against the base, +- one standard deviation of that change "
            "(errors common to both cancel; none where it was not worked out). Better, worse: nearer to what "
            "is wanted, or farther from it, in more than 97 of 100; prob.+, prob.-: in 9 of 10; =: no change "
            "that could be noticed; usual: within the usual range either way; ?: cannot tell; no mark: not "
            "judged."
          : "For each set-up: value and change against the base. No uncertainty was worked out, so "
            "none of them is called better or worse: a small difference may be no difference.",
      look.width);
  out += wrap(
      "Friction is half the difference of down and up weight. The fall of force in it is no friction: the "
      "force "
      "falls with dip, and the two weights are set near opposite ends of the window. Mean friction is what "
      "is rubbed "
      "off.",
      look.width);
  return out;
}

std::string write_verdicts(const Comparison& c, const Look& look) {
  std::string out;
  int name = 0;
  for (const auto& s : c.set_ups) name = std::max(name, columns_of(s.name));
  name = std::min(name, 24);
  for (std::size_t k = 1; k < c.set_ups.size(); ++k) {
    const std::string verdict = verdict_of(c, k);
    if (verdict.empty()) continue;
    Grid line({name, std::max(30, look.width - name - 2)});
    const bool never = c.set_ups[k].undone == judgement::kNotReversible;
    line.add({{c.set_ups[k].name, Colour::kHeading},
              {(never ? std::string(judgement::kNotReversibleMark) + ". " : "") + verdict}});
    out += line.write(look);
  }
  if (!has_uncertainty(c))
    out += wrap("Without the uncertainties no verdict can be given: let them be worked out.", look.width);
  return out;
}

std::string write_warnings(const Comparison& c, const Look& look) {
  std::string out;
  for (const std::string& w : c.warnings) out += wrap(w, look.width, "- ", "  ");
  for (const auto& s : c.set_ups) {
    for (const std::string& w : s.weighing.warnings) out += wrap(s.name + ": " + w, look.width, "- ", "  ");
    for (const auto& f : s.regulated.failures)
      out +=
          wrap(fmt::format("{}: not regulated to the specification, {}: {}", s.name, f.requirement, f.advice),
               look.width, "- ", "  ");
  }
  return out;
}

namespace {

// A row for each set-up, what is judged across: change, its +- where the terminal has room for it, and the mark.
std::string write_short(const Comparison& c, const Look& look) {
  constexpr MeasureIndex kShort[] = {study::kDownWeight, study::kUpWeight, study::kFriction,
                                     study::kAftertouch};
  constexpr int kName = 22, kWide = 19, kNarrow = 12, kWayBack = 14, kRest = kWayBack + 5;
  const bool uncertainty = has_uncertainty(c), wide = look.width >= kName + 4 * kWide + kRest;
  const int column = wide ? kWide : kNarrow;
  Grid grid({std::min(kName, look.width - 4 * column - kRest), column, column, column, column, kWayBack}, 1);
  std::vector<Cell> heads{{""}}, units{{""}};
  for (const MeasureIndex k : kShort) {
    heads.push_back({short_label(k), Colour::kHeading});
    units.push_back({unit_of(k), Colour::kQuiet});
  }
  grid.add(heads);
  grid.add(units);
  grid.add_rule();
  for (std::size_t n = 0; n < c.set_ups.size(); ++n) {
    const SetUpResult& s = c.set_ups[n];
    std::vector<Cell> row{{s.name, Colour::kHeading}};
    for (const MeasureIndex k : kShort) {
      const Shown shown = find_entry(s, k, uncertainty && n > 0);
      const double own = s.results[k].sigma * kMeasures[k].display_factor;
      const std::string sigma = n > 0         ? shown.sigma
                                : uncertainty ? sigma_words(own, kMeasures[k].decimals)
                                              : "";
      std::string words = n == 0 ? shown.value : shown.change;
      if (wide && !sigma.empty()) words += " " + sigma;
      if (!shown.mark.empty()) words += " " + shown.mark;
      row.push_back({words, shown.colour});
    }
    const bool never = n > 0 && s.undone == judgement::kNotReversible;
    row.push_back({never ? judgement::kNotReversibleMark : "", Colour::kBad});
    grid.add(row);
  }
  return grid.write(look);
}

}  // namespace

Document comparison_document(const case_file::CaseDescription& d, const Comparison& c) {
  Document out;
  const auto text = [&](auto write) { out.text(write); };
  text([&](const Look& look) { return write_heading(d, c, look); });
  const bool several = c.set_ups.size() > 1;
  if (several) {
    text([&](const Look& look) {
      return heading("The answer", look) + write_answer(c, look) + write_answer_cautions(c, look);
    });
    out.space();
    text([&](const Look& look) { return write_short(c, look); });
    for (const auto& s : c.set_ups)
      if (!s.weighing.ok) out.bullet(s.name + ": " + s.verdict);
    out.note(
        has_uncertainty(c)
            ? "The first line as it is, the others as changes against it, +- one standard deviation. "
              "Better, worse: sure in 97 of 100; prob.+, prob.-: in 9 of 10; =: nothing that could be "
              "noticed; usual: within the usual range either way; ?: cannot tell."
            : "The first line as it is, the others as changes against it. No uncertainty was worked out, "
              "so that a small difference may be no difference.");
    out.details("every measure");
  }
  text([&](const Look& look) { return "\n" + write_measures(c, look); });
  if (several) {
    out.details("each move in words");
    text([&](const Look& look) { return heading("Each move", look) + write_verdicts(c, look); });
  }
  out.details("what makes it unsure");
  text([&](const Look& look) {
    const std::string unsure = write_uncertainty(c, look);
    return unsure.empty() ? unsure : heading("How sure", look) + unsure;
  });
  out.details("where the friction is");
  text([&](const Look& look) {
    return heading("Where the friction is", look) + write_friction_places(c, look);
  });
  out.details("strokes played");
  text([&](const Look& look) {
    const std::string touches = write_compared_touches(c, look, true);
    return touches.empty() ? touches : heading("Played", look) + touches;
  });
  out.details("at the bench");
  text([&](const Look& look) { return heading("At the bench", look) + write_bench(d, c, look); });
  out.details("what it rests on");
  text([&](const Look& look) { return write_notes(d, look); });
  out.essentials();
  text([&](const Look& look) {
    const std::string warnings = write_warnings(c, look);
    return warnings.empty() ? warnings : heading("Warnings", look) + warnings;
  });
  text([&](const Look& look) { return write_short_cautions(remedies_of(d, c), look); });
  out.details("cautions in full");
  text([&](const Look& look) { return heading("Before you start", look) + write_cautions(d, c, look); });
  out.essentials();
  return out;
}

}  // namespace leverwright::table

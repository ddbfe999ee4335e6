#include "viz/table/seek_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/remedy.h"
#include "models/judgement/sentences.h"
#include "models/remedies/all.h"
#include "models/study/remedies.h"
#include "viz/table/cautions.h"
#include "viz/table/csv.h"

namespace leverwright::table {

using search::Aim;
using search::kTrialNumbers;
using search::Seek;
using search::SeekResult;

namespace {

std::string number_words(std::size_t k, double si, bool with_sign = false) {
  const auto& info = kTrialNumbers[k];
  const std::string text = with_sign ? fixed_signed(si * info.display_factor, info.decimals)
                                     : fixed(si * info.display_factor, info.decimals);
  return std::string(info.display_unit) == "1" ? text : text + " " + info.display_unit;
}

std::string aim_words(const Seek& s) {
  const std::string name = kTrialNumbers[s.number].name;
  if (s.aim == Aim::kLeast) return "least " + name;
  if (s.aim == Aim::kMost) return "most " + name;
  return fmt::format("{} of {} (within {})", name, number_words(s.number, s.target),
                     number_words(s.number, s.within));
}

std::string bounds_words(const Seek& s) {
  std::string out;
  for (const auto& v : s.vary)
    out += fmt::format("{}{} from {} to {}", out.empty() ? "" : ", ", v.name, amount_words(v, v.from),
                       amount_words(v, v.to));
  return out;
}

std::string limit_words(const Seek& s) {
  std::string out;
  for (const auto& l : s.limits) {
    out += (out.empty() ? "" : "; ") + std::string(kTrialNumbers[l.number].name);
    if (std::isfinite(l.low)) out += " at least " + number_words(l.number, l.low);
    if (std::isfinite(l.high)) out += " at most " + number_words(l.number, l.high);
  }
  return out;
}

// "met", or what is possible at best, and where the answer is soft.
std::string answer_words(const SeekResult& r) {
  const Seek& s = r.seek;
  if (!r.best.trial.ok)
    return fmt::format("No point within the bounds can be used: {}.",
                       r.commonest_reason.empty() ? "stopped too early" : r.commonest_reason);
  const double found = r.best.trial.numbers[s.number];
  std::string out;
  if (!r.limits_kept) {
    out = "The limits cannot all be kept within the bounds; the closest point is shown.";
  } else if (s.aim != Aim::kReach) {
    out = fmt::format("{} possible within the bounds: {}; the smallest change within {} of it is shown.",
                      s.aim == Aim::kLeast ? "Least" : "Most", number_words(s.number, r.best_possible),
                      number_words(s.number, s.within));
  } else if (r.met) {
    out = fmt::format("Met: {}.", number_words(s.number, found));
    if (s.vary.size() == 2)
      out += " Two amounts meet it along a whole line; shown is the smallest change that does.";
  } else {
    out =
        fmt::format("It cannot be met within the bounds: {} is possible at best ({} to {} over all of them).",
                    number_words(s.number, found), number_words(s.number, r.reach_low),
                    number_words(s.number, r.reach_high));
  }
  for (std::size_t k = 0; k < s.vary.size(); ++k)
    if (r.at_bound[k] && !(r.met && s.aim == Aim::kReach))
      out += fmt::format(" {} lies on its bound: beyond it there may be better.", s.vary[k].name);
  const bool flat = s.aim != Aim::kReach && r.limits_kept;
  for (std::size_t k = 0; flat && k < s.vary.size(); ++k) {
    const double width = std::abs(s.vary[k].to - s.vary[k].from);
    if (r.flat_high[k] - r.flat_low[k] > 0.05 * width)
      out += fmt::format(" As good: {} from {} to {}.", s.vary[k].name,
                         amount_words(s.vary[k], r.flat_low[k]), amount_words(s.vary[k], r.flat_high[k]));
  }
  return out;
}

constexpr std::size_t kShown[] = {
    study::kDownWeight,      study::kUpWeight,      study::kBalanceWeight, study::kFriction,
    study::kCapstanFriction, study::kDistanceRatio, study::kDip,           study::kBlow,
    study::kAftertouch,      study::kReflectedMass, study::kLineDistance,  study::kFrontWeight,
    study::kCapEdgeMargin,   study::kFaceMargin};

// What the amount found leaves of cap and lifting face, where it is too little to be recommended.
std::vector<std::string> find_margin_cautions(const case_file::CaseDescription& d, const SeekResult& r) {
  const double least = d.has("targets.least_margin") ? d.value("targets.least_margin") : 0.5e-3;
  std::vector<std::string> out;
  for (const std::size_t k : {std::size_t{study::kCapEdgeMargin}, std::size_t{study::kFaceMargin}}) {
    const double left = r.best.trial.numbers[k], before = r.base.numbers[k];
    if (left < least)
      out.push_back(fmt::format(
          "{}: {} mm left (base {} mm). Less than {} mm wears unevenly: not to be recommended.",
          kTrialNumbers[k].name, fixed(1e3 * left, 2), fixed(1e3 * before, 2), fixed(1e3 * least, 1)));
  }
  return out;
}

// What the hand does for the amounts found, and what it costs.
void add_work(const case_file::CaseDescription& d, const SeekResult& r, Document& out) {
  const auto set_up = search::with_amounts(d, r.seek, r.best.amounts);
  const auto to_do = [&](const std::string& text) { out.note(text, "  to do:   ", "           "); };
  for (const auto& line : study::find_remedies(set_up, r.base.design, r.best.trial.design)) to_do(line.hand);
  const auto& screw = r.best.trial.design.screws[action::kCapstan];
  const double moved =
      r.best.trial.regulated.screws[action::kCapstan] - r.base.regulated.screws[action::kCapstan];
  const double turns = screw.pitch > 0 ? moved / screw.pitch : 0.0;
  if (std::abs(turns) > 0.02)
    to_do(fmt::format("capstan {} turns {}", fixed(std::abs(turns), 2), turns > 0 ? "up" : "down"));
  out.note(fmt::format("{}; {}", judgement::undone_words(case_file::undone_class(set_up)),
                       case_file::labour_words(study::labour_of(set_up))),
           "  labour:  ", "           ");
  for (const auto& change : set_up.changes)
    out.note(change.remedy->row.worry, "  watch out: ", "           ");
}

// Numbers at the base and at the amounts found: those of kShown at the terminal, all for other programs.
void add_numbers(const SeekResult& r, Document& out) {
  out.details("numbers before and after");
  out.space();
  Table& shown = out.table();
  shown.gap = 1;
  shown.indent = "  ";
  shown.columns = {{"", "", "", "", 44},
                   {"", "", "", "", 4},
                   {"", "", "base", "", 9},
                   {"", "", "found", "", 9},
                   {"", "", "change", "", 9, 2, true}};
  for (const std::size_t k : kShown) {
    const auto& info = kTrialNumbers[k];
    const double from = r.base.numbers[k] * info.display_factor,
                 to = r.best.trial.numbers[k] * info.display_factor;
    shown.add({Entry(info.name).in(k == r.seek.number ? Colour::kHeading : Colour::kPlain),
               Entry(std::string(info.display_unit) == "1" ? "" : info.display_unit).in(Colour::kQuiet),
               Entry(from).digits(info.decimals), Entry(to).digits(info.decimals),
               Entry(to - from).digits(info.decimals)});
  }
  out.essentials();
}

// In JSON and CSV; amounts and numbers are lists of their own in JSON, one list in CSV.
void add_values(const case_file::CaseDescription& d, const SeekResult& r, Document& out) {
  const Seek& s = r.seek;
  const auto& info = kTrialNumbers[s.number];
  Table& amounts = out.table("amounts");
  amounts.columns = {{"name"}, {"value"}, {"unit"}, {"at_bound"}, {"as_good_from"}, {"as_good_to"}};
  for (std::size_t k = 0; k < s.vary.size(); ++k)
    amounts.add({s.vary[k].name, r.best.amounts[k] / s.vary[k].unit_si, s.vary[k].unit,
                 static_cast<bool>(r.at_bound[k]), r.flat_low[k] / s.vary[k].unit_si,
                 r.flat_high[k] / s.vary[k].unit_si});
  out.set("noise", Json{{"value", r.noise * info.display_factor}, {"unit", info.display_unit}});
  out.set("possible", Json{{"low", r.reach_low * info.display_factor},
                           {"high", r.reach_high * info.display_factor},
                           {"unit", info.display_unit}});
  Table& numbers = out.table("numbers");
  numbers.columns = {{"key"}, {"unit"}, {"base"}, {"found"}};
  for (std::size_t k = 0; k < search::kTrialNumberCount; ++k)
    numbers.add({kTrialNumbers[k].key, kTrialNumbers[k].display_unit,
                 r.base.numbers[k] * kTrialNumbers[k].display_factor,
                 r.best.trial.numbers[k] * kTrialNumbers[k].display_factor});
  const auto set_up = search::with_amounts(d, s, r.best.amounts);
  std::vector<std::string> hand;
  for (const auto& line : study::find_remedies(set_up, r.base.design, r.best.trial.design))
    hand.push_back(line.hand);
  out.set("hand", hand);
  out.set("undone", judgement::undone_words(case_file::undone_class(set_up)));
  out.set("cautions", find_margin_cautions(d, r));
}

void add_csv_lines(const SeekResult& r, Document& out) {
  Table& t = out.table();
  for (const char* head : {"seek", "what", "name", "unit", "base", "found", "met"})
    t.columns.push_back({"", head});
  if (!r.best.trial.ok) {
    t.add({r.seek.name, "none", r.commonest_reason, "", "", "", r.met});
    return;
  }
  for (std::size_t k = 0; k < r.seek.vary.size(); ++k)
    t.add({r.seek.name, "amount", r.seek.vary[k].name, r.seek.vary[k].unit, "",
           r.best.amounts[k] / r.seek.vary[k].unit_si, r.met});
  for (std::size_t k = 0; k < search::kTrialNumberCount; ++k)
    t.add({r.seek.name, "number", kTrialNumbers[k].key, kTrialNumbers[k].display_unit,
           r.base.numbers[k] * kTrialNumbers[k].display_factor,
           r.best.trial.numbers[k] * kTrialNumbers[k].display_factor, r.met});
}

Document one_search(const case_file::CaseDescription& d, const SeekResult& r) {
  const Seek& s = r.seek;
  Document out;
  out.set("name", s.name);
  out.set("question", s.question);
  out.set("sought", aim_words(s));
  out.set("status", r.whole ? "complete" : "stopped");
  out.set("usable", r.best.trial.ok);
  out.set("met", r.met);
  out.set("limits_kept", r.limits_kept);
  out.set("points_tried", r.tried);
  out.set("points_excluded", r.excluded);
  out.set("commonest_reason", r.commonest_reason);
  out.set("in_words", answer_words(r));
  out.text([name = s.name](const Look& look) { return paint(name, Colour::kHeading, look) + "\n"; });
  if (!s.question.empty()) out.note(s.question);
  out.note("sought: " + aim_words(s) + "; varied: " + bounds_words(s), "  ", "  ");
  if (!s.limits.empty()) out.note("limits: " + limit_words(s), "  ", "  ");
  add_csv_lines(r, out);
  if (!r.best.trial.ok) {
    out.note(answer_words(r), "  ", "  ");
    return out;
  }
  std::string amounts;
  for (std::size_t k = 0; k < s.vary.size(); ++k)
    amounts += fmt::format("{}{} {}", k == 0 ? "" : ", ", s.vary[k].name,
                           amount_words(s.vary[k], r.best.amounts[k]));
  const int undone = case_file::undone_class(search::with_amounts(d, s, r.best.amounts));
  out.text([amounts, undone](const Look& look) {
    return wrap(
        "found: " + paint(amounts, Colour::kGood, look) + "  [" + judgement::undone_words(undone) + "]",
        look.width, "  ", "  ");
  });
  for (const std::string& trouble : find_margin_cautions(d, r)) out.note(trouble, "  ! ", "    ");
  out.note(answer_words(r), "  ", "  ");
  add_numbers(r, out);
  add_work(d, r, out);
  out.details("how it was sought");
  out.note(
      fmt::format("{} points tried, {} of them excluded{}. Regulated from another start the number comes "
                  "out {} different.",
                  r.tried, r.excluded, r.excluded > 0 ? " (most often: " + r.commonest_reason + ")" : "",
                  fmt::format("{:.1g} {}", r.noise * kTrialNumbers[s.number].display_factor,
                              kTrialNumbers[s.number].display_unit)),
      "  ", "  ");
  out.essentials();
  if (!r.whole) out.note("Stopped: this is the best so far.", "  ", "  ");
  add_values(d, r, out);
  return out;
}

}  // namespace

std::string amount_words(const search::Vary& v, double amount) {
  const double shown = amount / v.unit_si;
  return v.unit.empty() ? fixed(shown, 3) : fixed(shown, 2) + " " + v.unit;
}

Document seek_document(const case_file::CaseDescription& d, const std::vector<SeekResult>& results) {
  Document out("seek");
  out.set("case", d.path);
  case_file::RemedyList list;  // cautions stand once, for all of them
  bool found = false;
  for (std::size_t k = 0; k < results.size(); ++k) {
    if (k > 0) out.space();
    out.add_to("seeks", one_search(d, results[k]));
    if (!results[k].best.trial.ok) continue;
    found = true;
    for (const auto& change : search::with_amounts(d, results[k].seek, results[k].best.amounts).changes)
      if (std::find(list.begin(), list.end(), change.remedy) == list.end()) list.push_back(change.remedy);
  }
  if (found) out.text([list](const Look& look) { return write_short_cautions(list, look); });
  return out;
}

Document map_document(const std::vector<search::AmountMap>& maps) {
  Document out;
  case_file::RemedyList list;
  for (const auto& m : maps) {
    out.text([&m](const Look& look) {
      return paint(m.seek.name, Colour::kHeading, look) + "  [" + judgement::undone_words(m.seek.undone) +
             "]\n";
    });
    const auto left = m.why.size() - static_cast<std::size_t>(m.done);
    out.note(fmt::format("{}: {} points, {} of them excluded{}", bounds_words(m.seek), m.done, m.excluded,
                         m.whole ? "" : fmt::format("; stopped, {} were not computed", left)),
             "  ", "  ");
    for (const std::size_t k : m.seek.maps) {
      double low = INFINITY, high = -INFINITY;
      for (const double v : m.values[k])
        if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
      out.note(
          fmt::format("{}: {} to {}", kTrialNumbers[k].name, number_words(k, low), number_words(k, high)),
          "  ", "  ");
    }
    std::string best;
    for (std::size_t k = 0; k < m.best.size(); ++k)
      best += fmt::format("{}{} {}", k == 0 ? "" : ", ", m.seek.vary[k].name,
                          amount_words(m.seek.vary[k], m.best[k]));
    out.note(best.empty() ? "no point keeps the limits" : aim_words(m.seek) + " at " + best, "  ", "  ");
    bool never = false;
    for (const search::Vary& v : m.seek.vary) {
      if (std::find(list.begin(), list.end(), v.remedy) == list.end()) list.push_back(v.remedy);
      never = never || v.remedy->row.undone == case_file::kNotReversible;
    }
    if (never)
      out.text([](const Look& look) { return "  " + paint("NOT REVERSIBLE", Colour::kBad, look) + "\n"; });
  }
  out.text([list](const Look& look) { return write_short_cautions(list, look); });
  return out;
}

std::string write_map_csv(const search::AmountMap& m) {
  std::vector<std::string> head;
  for (const auto& v : m.seek.vary) head.push_back(v.name + (v.unit.empty() ? "" : " (" + v.unit + ")"));
  for (const auto& info : kTrialNumbers)
    head.push_back(std::string(info.key) + (std::string(info.display_unit) == "1"
                                                ? ""
                                                : " (" + std::string(info.display_unit) + ")"));
  head.emplace_back("excluded_because");
  std::string out = join_csv(head);
  const std::size_t n0 = m.axes.front().size();
  for (std::size_t p = 0; p < m.why.size(); ++p) {
    std::vector<std::string> row{csv_number(m.axes[0][p % n0] / m.seek.vary[0].unit_si)};
    if (m.axes.size() > 1) row.push_back(csv_number(m.axes[1][p / n0] / m.seek.vary[1].unit_si));
    for (std::size_t k = 0; k < search::kTrialNumberCount; ++k)
      row.push_back(csv_number(m.values[k][p] * kTrialNumbers[k].display_factor));
    row.push_back(m.why[p]);
    out += join_csv(row);
  }
  return out;
}

}  // namespace leverwright::table

#include "viz/table/seek_table.h"

#include <fmt/format.h>

#include <cmath>

#include "models/case/remedy.h"
#include "models/judgement/sentences.h"
#include "models/remedies/all.h"
#include "models/study/remedies.h"
#include "viz/table/cautions.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"

namespace leverwright::table {

using study::Aim;
using study::kTrialNumbers;
using study::Seek;
using study::SeekResult;

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

std::string work_words(const case_file::CaseDescription& d, const SeekResult& r, const Look& look) {
  std::string out;
  const auto set_up = study::with_amounts(d, r.seek, r.best.amounts);
  for (const auto& line : study::find_remedies(set_up, r.base.design, r.best.trial.design))
    out += wrap(line.hand, look.width, "  to do:   ", "           ");
  const double turns = [&] {
    const auto& screw = r.best.trial.design.screws[action::kCapstan];
    const double moved =
        r.best.trial.regulated.screws[action::kCapstan] - r.base.regulated.screws[action::kCapstan];
    return screw.pitch > 0 ? moved / screw.pitch : 0.0;
  }();
  if (std::abs(turns) > 0.02)
    out += wrap(fmt::format("capstan {} turns {}", fixed(std::abs(turns), 2), turns > 0 ? "up" : "down"),
                look.width, "  to do:   ", "           ");
  out += wrap(fmt::format("{}; {}", judgement::undone_words(case_file::undone_class(set_up)),
                          case_file::labour_words(study::labour_of(set_up))),
              look.width, "  labour:  ", "           ");
  for (const auto& change : set_up.changes)
    out += wrap(change.remedy->row.worry, look.width, "  watch out: ", "           ");
  case_file::RemedyList list;
  for (const auto& change : set_up.changes) list.push_back(change.remedy);
  return out + write_short_cautions(list, look);
}

}  // namespace

std::string amount_words(const study::Vary& v, double amount) {
  const double shown = amount / v.unit_si;
  return v.unit.empty() ? fixed(shown, 3) : fixed(shown, 2) + " " + v.unit;
}

std::string write_seek(const case_file::CaseDescription& d, const SeekResult& r, const Look& look) {
  const Seek& s = r.seek;
  std::string out = paint(s.name, Colour::kHeading, look) + "\n";
  const int undone = case_file::undone_class(study::with_amounts(d, s, r.best.amounts));
  if (!s.question.empty()) out += wrap(s.question, look.width);
  out += wrap("sought: " + aim_words(s) + "; varied: " + bounds_words(s), look.width, "  ", "  ");
  if (!s.limits.empty()) out += wrap("limits: " + limit_words(s), look.width, "  ", "  ");
  if (!r.best.trial.ok) return out + wrap(answer_words(r), look.width, "  ", "  ");
  std::string amounts;
  for (std::size_t k = 0; k < s.vary.size(); ++k)
    amounts += fmt::format("{}{} {}", k == 0 ? "" : ", ", s.vary[k].name,
                           amount_words(s.vary[k], r.best.amounts[k]));
  out += wrap("found: " + paint(amounts, Colour::kGood, look) + "  [" + judgement::undone_words(undone) + "]",
              look.width, "  ", "  ");
  for (const std::string& trouble : find_margin_cautions(d, r))
    out += wrap(trouble, look.width, "  ! ", "    ");
  out += wrap(answer_words(r), look.width, "  ", "  ") + "\n";
  Grid grid({44, 4, 9, 9, 9}, 1);
  grid.add({{""},
            {""},
            {"base", Colour::kHeading, true},
            {"found", Colour::kHeading, true},
            {"change", Colour::kHeading, true}});
  grid.add_rule();
  for (const std::size_t k : kShown) {
    const auto& info = kTrialNumbers[k];
    const double from = r.base.numbers[k] * info.display_factor,
                 to = r.best.trial.numbers[k] * info.display_factor;
    grid.add({{info.name, k == s.number ? Colour::kHeading : Colour::kPlain},
              {std::string(info.display_unit) == "1" ? "" : info.display_unit, Colour::kQuiet},
              {fixed(from, info.decimals), Colour::kPlain, true},
              {fixed(to, info.decimals), Colour::kPlain, true},
              {fixed_signed(to - from, info.decimals), Colour::kPlain, true}});
  }
  out += grid.write(look, "  ") + "\n" + work_words(d, r, look);
  out +=
      wrap(fmt::format("{} points tried, {} of them excluded{}. Regulated from another start the number "
                       "comes out {} different.{}",
                       r.tried, r.excluded, r.excluded > 0 ? " (most often: " + r.commonest_reason + ")" : "",
                       fmt::format("{:.1g} {}", r.noise * kTrialNumbers[s.number].display_factor,
                                   kTrialNumbers[s.number].display_unit),
                       r.whole ? "" : " Stopped: this is the best so far."),
           look.width, "  ", "  ");
  return out;
}

std::string write_seeks_csv(const std::vector<SeekResult>& results) {
  std::string out = join_csv({"seek", "what", "name", "unit", "base", "found", "met"});
  for (const auto& r : results) {
    const std::string met = r.met ? "yes" : "no";
    if (!r.best.trial.ok) {
      out += join_csv({r.seek.name, "none", r.commonest_reason, "", "", "", met});
      continue;
    }
    for (std::size_t k = 0; k < r.seek.vary.size(); ++k)
      out += join_csv({r.seek.name, "amount", r.seek.vary[k].name, r.seek.vary[k].unit, "",
                       csv_number(r.best.amounts[k] / r.seek.vary[k].unit_si), met});
    for (std::size_t k = 0; k < study::kTrialNumberCount; ++k)
      out += join_csv({r.seek.name, "number", kTrialNumbers[k].key, kTrialNumbers[k].display_unit,
                       csv_number(r.base.numbers[k] * kTrialNumbers[k].display_factor),
                       csv_number(r.best.trial.numbers[k] * kTrialNumbers[k].display_factor), met});
  }
  return out;
}

std::string write_seeks_json(const case_file::CaseDescription& d, const std::vector<SeekResult>& results) {
  Json out;
  out["format"] = "leverwright seek";
  out["format_version"] = 1;
  out["case"] = d.path;
  Json list = Json::array();
  for (const auto& r : results) {
    const Seek& s = r.seek;
    const auto& info = kTrialNumbers[s.number];
    Json one{{"name", s.name},
             {"question", s.question},
             {"sought", aim_words(s)},
             {"status", r.whole ? "complete" : "stopped"},
             {"usable", r.best.trial.ok},
             {"met", r.met},
             {"limits_kept", r.limits_kept},
             {"points_tried", r.tried},
             {"points_excluded", r.excluded},
             {"commonest_reason", r.commonest_reason},
             {"in_words", answer_words(r)}};
    if (r.best.trial.ok) {
      Json amounts = Json::array();
      for (std::size_t k = 0; k < s.vary.size(); ++k)
        amounts.push_back(Json{{"name", s.vary[k].name},
                               {"value", r.best.amounts[k] / s.vary[k].unit_si},
                               {"unit", s.vary[k].unit},
                               {"at_bound", static_cast<bool>(r.at_bound[k])},
                               {"as_good_from", r.flat_low[k] / s.vary[k].unit_si},
                               {"as_good_to", r.flat_high[k] / s.vary[k].unit_si}});
      one["amounts"] = amounts;
      one["noise"] = Json{{"value", r.noise * info.display_factor}, {"unit", info.display_unit}};
      one["possible"] = Json{{"low", r.reach_low * info.display_factor},
                             {"high", r.reach_high * info.display_factor},
                             {"unit", info.display_unit}};
      Json numbers = Json::array();
      for (std::size_t k = 0; k < study::kTrialNumberCount; ++k)
        numbers.push_back(Json{{"key", kTrialNumbers[k].key},
                               {"unit", kTrialNumbers[k].display_unit},
                               {"base", r.base.numbers[k] * kTrialNumbers[k].display_factor},
                               {"found", r.best.trial.numbers[k] * kTrialNumbers[k].display_factor}});
      one["numbers"] = numbers;
      Json hand = Json::array();
      for (const auto& line : study::find_remedies(study::with_amounts(d, s, r.best.amounts), r.base.design,
                                                   r.best.trial.design))
        hand.push_back(line.hand);
      one["hand"] = hand;
      one["undone"] =
          judgement::undone_words(case_file::undone_class(study::with_amounts(d, s, r.best.amounts)));
      one["cautions"] = find_margin_cautions(d, r);
    }
    list.push_back(one);
  }
  out["seeks"] = list;
  return out.dump(2) + "\n";
}

std::string write_map_csv(const study::AmountMap& m) {
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
    for (std::size_t k = 0; k < study::kTrialNumberCount; ++k)
      row.push_back(csv_number(m.values[k][p] * kTrialNumbers[k].display_factor));
    row.push_back(m.why[p]);
    out += join_csv(row);
  }
  return out;
}

std::string write_map(const study::AmountMap& m, const Look& look) {
  std::string out =
      paint(m.seek.name, Colour::kHeading, look) + "  [" + judgement::undone_words(m.seek.undone) + "]\n";
  out += wrap(fmt::format("{}: {} points, {} of them excluded{}", bounds_words(m.seek), m.done, m.excluded,
                          m.whole ? ""
                                  : fmt::format("; stopped, {} were not computed",
                                                m.why.size() - static_cast<std::size_t>(m.done))),
              look.width, "  ", "  ");
  for (const std::size_t k : m.seek.maps) {
    double low = INFINITY, high = -INFINITY;
    for (const double v : m.values[k])
      if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
    out +=
        wrap(fmt::format("{}: {} to {}", kTrialNumbers[k].name, number_words(k, low), number_words(k, high)),
             look.width, "  ", "  ");
  }
  std::string best;
  for (std::size_t k = 0; k < m.best.size(); ++k)
    best += fmt::format("{}{} {}", k == 0 ? "" : ", ", m.seek.vary[k].name,
                        amount_words(m.seek.vary[k], m.best[k]));
  out += wrap(best.empty() ? "no point keeps the limits" : aim_words(m.seek) + " at " + best, look.width,
              "  ", "  ");
  case_file::RemedyList list;
  bool never = false;
  for (const study::Vary& v : m.seek.vary) {
    list.push_back(v.remedy);
    never = never || v.remedy->row.undone == case_file::kNotReversible;
  }
  if (never) out += "  " + paint("NOT REVERSIBLE", Colour::kBad, look) + "\n";
  return out + write_short_cautions(list, look);
}

}  // namespace leverwright::table

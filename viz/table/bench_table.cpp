#include "viz/table/bench_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "models/case_file/remedy.h"
#include "models/study/join_words.h"
#include "models/study/lead_advice.h"
#include "models/study/quantities.h"
#include "models/study/remedies.h"
#include "sim/base/units.h"
#include "viz/table/answer.h"
#include "viz/table/cautions.h"

namespace leverwright::table {

using study::SetUpResult;

namespace {

std::string millimetres(double metres, int decimals = 1) { return fixed(metres * 1e3, decimals) + " mm"; }

// What one turn means differs from screw to screw.
std::string amount_words(action::Screw screw, double turns, double pitch) {
  const double many = std::abs(turns);
  switch (screw) {
    case action::kFrontPunching:
      return millimetres(many * pitch, 2);
    case action::kBackCheck:
      return millimetres(many * pitch);
    case action::kRepetitionSpring:
      return fixed(many * pitch * 1e3, 1) + " N mm";
    default:
      return fmt::format("{} turn{} ({})", fixed(many, 2), many > 1 ? "s" : "", millimetres(many * pitch, 2));
  }
}

// The clearances, a decimal fewer than they are kept with: nobody sees more at the bench.
constexpr std::array<std::size_t, 8> kClearances = {
    study::kShankRestGap, study::kJackDepth,     study::kJackClearanceAtDip, study::kCapToClothEdge,
    study::kLineDistance, study::kCapEdgeMargin, study::kFaceMargin,         study::kFrontWeight};

std::string write_screws(const SetUpResult& s, const Look& look) {
  std::string out;
  std::vector<std::string> alone;
  Grid grid({9, 18, 24, 22, 0});
  bool first = true;
  for (const ScrewAdvice& a : find_screw_advice(s)) {
    if (a.leave) {
      alone.push_back(a.screw);
      continue;
    }
    grid.add({{first ? "screws" : "", Colour::kQuiet}, {a.screw}, {a.direction}, {a.amount}, {a.left}});
    first = false;
  }
  out += grid.write(look, "  ");
  if (first) return "  " + paint("screws", Colour::kQuiet, look) + "     nothing to turn\n";
  if (!alone.empty())
    out += wrap("leave " + study::join_words(alone), look.width, "             ", "             ");
  return out;
}

std::string field(const char* name, const std::string& text, const Look& look) {
  Grid grid({9, std::max(30, look.width - 13)});
  grid.add({{name, Colour::kQuiet}, {text}});
  return grid.write(look, "  ");
}

}  // namespace

bool is_left_alone(action::Screw screw, double turns, double pitch) {
  const double moved = std::abs(turns * pitch);
  switch (screw) {
    case action::kFrontPunching:
      return moved < kLeastMove;
    case action::kBackCheck:
      return moved < kLeastCheck;
    case action::kRepetitionSpring:
      return moved < kLeastSpring;
    default:
      return std::abs(turns) < kLeastTurn || moved < kLeastMove;
  }
}

std::vector<ScrewAdvice> find_screw_advice(const SetUpResult& s) {
  std::vector<ScrewAdvice> out;
  for (int k = 0; k < action::kScrewCount; ++k) {
    const auto at = static_cast<std::size_t>(k);
    const auto screw = static_cast<action::Screw>(k);
    ScrewAdvice a;
    a.screw = action::kScrewNames[at];
    a.leave = is_left_alone(screw, s.turns[at], s.design.screws[at].pitch);
    if (!a.leave) {
      a.direction = study::turn_direction(screw, s.turns[at] > 0);
      a.amount = amount_words(screw, s.turns[at], s.design.screws[at].pitch);
      const double left = s.thread_left[at];
      if (left < 0)
        a.left = fmt::format("NO THREAD LEFT: {} short", millimetres(-left));
      else if (screw != action::kFrontPunching && screw != action::kBackCheck &&
               screw != action::kRepetitionSpring)
        a.left = millimetres(left) + " of thread left";
    }
    out.push_back(a);
  }
  return out;
}

std::string lead_words(const SetUpResult& s) {
  if (std::abs(s.lead_mass) <= kLeastLead) return "none needed";
  const double grams = std::abs(s.lead_mass) * 1e3;
  const std::string place = fixed(s.lead_distance * 1e3, 0) + " mm";
  if (s.lead_mass < 0) return fmt::format("take out {} g at {}", fixed(grams, 0), place);
  static const char* const kCount[] = {"one", "two", "three", "four", "five", "six", "seven", "eight"};
  for (std::size_t n = 1; n <= std::size(kCount); ++n)
    for (const double sold : study::kLeadsSold)
      if (std::abs(grams - 1e3 * sold * static_cast<double>(n)) < 1e-6)
        return fmt::format("add {} {} g lead{} at {}", kCount[n - 1], fixed(1e3 * sold, 0), n > 1 ? "s" : "",
                           place);
  return fmt::format("add {} g at {}", fixed(grams, 1), place);
}

std::string balance_words(const case_file::CaseDescription& d, const SetUpResult& s) {
  const double balance = s.measures[study::kBalanceWeight];
  const double wanted = study::find_wanted_balance_weight(d, balance) / base::kGramForce;
  const double now = balance / base::kGramForce;
  if (std::isnan(wanted) && std::abs(s.lead_mass) <= kLeastLead) return "none needed";
  if (std::abs(wanted - now) < 1e-9)
    return fmt::format("none needed: balance weight {} gf, about as usual", fixed(now, 1));
  if (std::abs(s.lead_mass) <= kLeastLead)
    return fmt::format("none needed: balance weight {} gf, wanted {} gf", fixed(now, 1), fixed(wanted, 1));
  return fmt::format(
      "to bring the balance weight from {} to {} gf: {} in front of the balance hole; front "
      "weight then {} gf, now {} gf",
      fixed(now, 1), fixed(wanted, 1), lead_words(s), fixed(front_weight_with_lead(s) / base::kGramForce, 1),
      fixed(s.design.front_weight / base::kGramForce, 1));
}

std::string key_height_words(const SetUpResult& s) {
  if (std::abs(s.key_height_change) < kLeastKeyHeight) return "unchanged";
  return fmt::format("{} mm {}", fixed(std::abs(s.key_height_change) * 1e3, 2),
                     s.key_height_change > 0 ? "higher" : "lower");
}

std::string write_across(const study::Comparison& c, const AcrossRows& rows, const Look& look, int column) {
  constexpr int kGap = 2;
  int label = 0;
  for (const auto& row : rows) label = std::max(label, columns_of(row.first));
  const std::size_t beside = static_cast<std::size_t>(std::max(1, (look.width - label) / (column + kGap)));
  std::string out;
  for (std::size_t from = 0; from < c.set_ups.size(); from += beside) {
    const std::size_t to = std::min(c.set_ups.size(), from + beside);
    std::vector<int> widths{label};
    widths.resize(1 + to - from, column);
    Grid grid(widths, kGap);
    std::vector<Cell> names{{""}};
    for (std::size_t s = from; s < to; ++s) names.push_back({c.set_ups[s].name, Colour::kHeading, true});
    grid.add(names);
    grid.add_rule();
    for (const auto& [name, texts] : rows) {
      std::vector<Cell> cells{{name}};
      for (std::size_t s = from; s < to; ++s) cells.push_back({texts[s], Colour::kPlain, true});
      grid.add(cells);
    }
    out += (out.empty() ? "" : "\n") + grid.write(look);
  }
  return out;
}

std::string write_clearances(const study::Comparison& c, const Look& look) {
  AcrossRows rows;
  for (const std::size_t k : kClearances) {
    const study::Quantity& q = study::kQuantities[k];
    rows.push_back({q.label, {}});
    for (const SetUpResult& s : c.set_ups) {
      const double shown = study::read_quantity(q, s).value * q.display_factor;
      rows.back().second.push_back(k == study::kLineDistance ? fixed_signed(shown, 1) : fixed(shown, 1));
    }
  }
  return write_across(c, rows, look);
}

std::string write_bench(const case_file::CaseDescription& d, const study::Comparison& c, const Look& look) {
  std::string out;
  if (c.set_ups.size() > 1)
    out += wrap(
               "Screws are counted from the base as regulated to the same specification; back check and "
               "repetition spring by playing, after the rest.",
               look.width) +
           "\n";
  for (std::size_t k = 1; k < c.set_ups.size(); ++k) {
    const SetUpResult& s = c.set_ups[k];
    const case_file::SetUp& written = d.set_ups[k];
    const bool never = case_file::undone_class(written) == case_file::kNotReversible;
    out += paint(s.name, Colour::kHeading, look) + "  " +
           paint(undone_mark(c, k), never ? Colour::kBad : Colour::kPlain, look);
    out += "\n";
    std::vector<std::string> worries;
    for (const auto& change : written.changes) {
      const std::string& worry = change.remedy->row.worry;
      if (!worry.empty() && std::find(worries.begin(), worries.end(), worry) == worries.end())
        worries.push_back(worry);
    }
    if (!s.description.empty()) out += field("the move", s.description, look);
    std::vector<std::string> hazards;
    for (const auto& line : study::find_remedies(written, c.set_ups[0].design, s.design)) {
      out += field("to do", line.hand, look);
      for (const auto& hazard : line.spec->hazards)
        if (std::find(hazards.begin(), hazards.end(), hazard) == hazards.end()) hazards.push_back(hazard);
    }
    if (!written.changes.empty())
      out += field("labour", case_file::labour_words(study::labour_of(written)) + ", regulation not counted",
                   look);
    if (!hazards.empty()) out += field("cautions", study::join_words(hazards) + ": see below", look);
    if (!worries.empty()) {
      std::string all;
      for (const auto& w : worries) all += (all.empty() ? "" : "; ") + w;
      out += field("watch out", all, look);
    }
    if (!s.weighing.ok) {
      out += field("result", s.verdict, look) + "\n";
      continue;
    }
    out += write_screws(s, look);
    out += field("key", "height at rest " + key_height_words(s), look);
    out += field("leads", balance_words(d, s), look);
    if (d.has("targets.front_weight_limit") &&
        front_weight_with_lead(s) > d.value("targets.front_weight_limit"))
      out += field("",
                   fmt::format("that is over the front weight limit of {} gf",
                               fixed(d.value("targets.front_weight_limit") / base::kGramForce, 1)),
                   look);
    out += "\n";
  }
  return out + write_clearances(c, look);
}

}  // namespace leverwright::table

#include "viz/table/policy_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/study/compare.h"
#include "sim/base/units.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

namespace {

bool keeps(const std::string& policy, const std::string& word) {
  return policy.find(word) != std::string::npos;
}

// "up 0.85 turns"
std::string screw_words(const PolicyResult& r, std::size_t k) {
  const double turns = r.pitch[k] > 0 ? r.moved[k] / r.pitch[k] : 0;
  if (is_left_alone(static_cast<action::Screw>(k), turns, r.pitch[k])) return "leave";
  const char* direction = study::turn_direction(static_cast<action::Screw>(k), turns > 0);
  if (k == action::kFrontPunching)
    return fmt::format("{} {} mm", direction, fixed(std::abs(r.moved[k]) * 1e3, 2));
  return fmt::format("{} {} turn{}", direction, fixed(std::abs(turns), 2), std::abs(turns) > 1 ? "s" : "");
}

}  // namespace

std::string write_policies(const std::vector<PolicySetUp>& set_ups, const std::string& base_name,
                           const std::string& own_policy, const std::vector<std::string>& borrowed,
                           const Look& look) {
  std::string out = wrap(fmt::format("The same set-up regulated by each policy. \"results\" marks what gives "
                                     "way. Screws are counted from "
                                     "the base \"{}\" regulated by the case's own policy ({}).",
                                     base_name, own_policy),
                         look.width);
  for (const auto& text : borrowed) out += wrap(text, look.width);
  constexpr int kLabel = 22;
  for (const PolicySetUp& s : set_ups) {
    const int column = std::max(22, (look.width - kLabel) / static_cast<int>(s.results.size()) - 2);
    std::vector<int> widths{kLabel};
    widths.resize(1 + s.results.size(), std::min(column, 34));
    Grid grid(widths);
    const auto row = [&](const std::string& label, auto&& text) {
      std::vector<Cell> cells{{label}};
      for (const PolicyResult& r : s.results) cells.push_back({text(r)});
      grid.add(cells);
    };
    std::vector<Cell> names{{s.name, Colour::kHeading}};
    for (const PolicyResult& r : s.results) names.push_back({r.policy, Colour::kHeading});
    grid.add(names);
    grid.add_rule();
    const auto kept = [](const PolicyResult& r, const char* word, double metres, int decimals) {
      if (r.regulated.dip_let_off <= 0) return std::string("-");
      return fixed(metres * 1e3, decimals) + (keeps(r.policy, word) ? " mm" : " mm  results");
    };
    row("dip", [&](const PolicyResult& r) { return kept(r, "dip", r.regulated.dip, 2); });
    row("blow", [&](const PolicyResult& r) { return kept(r, "blow", r.regulated.blow, 2); });
    row("aftertouch",
        [&](const PolicyResult& r) { return kept(r, "aftertouch", r.regulated.aftertouch, 2); });
    row("let-off, drop", [&](const PolicyResult& r) {
      return r.regulated.dip_let_off <= 0 ? std::string("-")
                                          : fmt::format("{}, {} mm", fixed(r.regulated.let_off * 1e3, 2),
                                                        fixed(r.regulated.drop * 1e3, 2));
    });
    row("without friction", [&](const PolicyResult& r) {
      const action::QuietLetOff& q = r.frictionless;
      if (!q.found) return std::string("-");
      return fmt::format("{}, {} mm", fixed(q.let_off * 1e3, 2),
                         q.drop_found ? fixed(q.drop * 1e3, 2) : std::string("-"));
    });
    row("down, up weight", [&](const PolicyResult& r) {
      return r.weighed ? fmt::format("{}, {} gf", fixed(r.down_weight / base::kGramForce, 1),
                                     fixed(r.up_weight / base::kGramForce, 1))
                       : std::string("-");
    });
    row("distance ratio",
        [&](const PolicyResult& r) { return r.weighed ? fixed(r.distance_ratio, 2) : std::string("-"); });
    for (std::size_t k = 0; k < action::kScrewCount; ++k) {
      if (k == action::kBackCheck || k == action::kRepetitionSpring) continue;
      row(action::kScrewNames[k], [&](const PolicyResult& r) {
        return r.regulated.dip_let_off > 0 ? screw_words(r, k) : std::string("-");
      });
    }
    const bool any = std::any_of(s.results.begin(), s.results.end(),
                                 [](const PolicyResult& r) { return r.regulated.dip_let_off > 0; });
    out += any ? "\n" + grid.write(look)
               : "\n" + paint(s.name, Colour::kHeading, look) + ": cannot be regulated\n";
    for (const PolicyResult& r : s.results)
      for (const auto& f : r.regulated.failures)
        out += wrap(fmt::format("{}: not to the specification, {}: {}", r.policy, f.requirement, f.advice),
                    look.width, "- ", "  ");
  }
  return out;
}

}  // namespace leverwright::table

#include "viz/table/policy_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

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

// One set-up, the policies across: numbers and screws.
std::string write_one(const PolicySetUp& s, const Look& look) {
  constexpr int kLabel = 22;
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
  row("aftertouch", [&](const PolicyResult& r) { return kept(r, "aftertouch", r.regulated.aftertouch, 2); });
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
  return any ? "\n" + grid.write(look)
             : "\n" + paint(s.name, Colour::kHeading, look) + ": cannot be regulated\n";
}

// What gives way under the policy, and the down weight that results: "aftertouch 1.09 mm, 52.6 gf".
std::string result_words(const PolicyResult& r) {
  if (r.regulated.dip_let_off <= 0) return "cannot be regulated";
  const std::tuple<const char*, double, int> lengths[] = {
      {"dip", r.regulated.dip, 2}, {"blow", r.regulated.blow, 1}, {"aftertouch", r.regulated.aftertouch, 2}};
  std::string out;
  for (const auto& [word, metres, decimals] : lengths)
    if (!keeps(r.policy, word)) out += fmt::format("{} {} mm, ", word, fixed(metres * 1e3, decimals));
  return out + (r.weighed ? fixed(r.down_weight / base::kGramForce, 1) + " gf" : "cannot be weighed");
}

// A line for each set-up, the policies across.
void add_lines(const std::vector<PolicySetUp>& set_ups, Document& d) {
  Table& t = d.table();
  t.columns = {{"", "", "set-up", "", 0}};
  if (!set_ups.empty())
    for (const PolicyResult& r : set_ups.front().results) t.columns.push_back({"", "", r.policy, "", 0});
  for (const PolicySetUp& s : set_ups) {
    std::vector<Entry> row{Entry(s.name).in(Colour::kHeading)};
    for (const PolicyResult& r : s.results) row.push_back(result_words(r));
    t.add(row);
  }
}

// Every number, set-ups and policies down, for other programs.
void add_results(const std::vector<PolicySetUp>& set_ups, Document& d) {
  Table& t = d.table("results");
  for (const char* key : {"set_up", "policy", "dip_mm", "blow_mm", "aftertouch_mm", "down_weight_gf",
                          "up_weight_gf", "distance_ratio", "let_off_mm", "drop_mm", "failed"})
    t.columns.push_back({key, key});
  const double none = std::nan("");
  for (const PolicySetUp& s : set_ups)
    for (const PolicyResult& r : s.results) {
      const auto mm = [&](double metres) { return r.regulated.dip_let_off > 0 ? metres * 1e3 : none; };
      const auto gf = [&](double newton) { return r.weighed ? newton / base::kGramForce : none; };
      std::vector<std::string> failed;
      for (const auto& f : r.regulated.failures) failed.push_back(f.requirement);
      t.add({s.name, r.policy, mm(r.regulated.dip), mm(r.regulated.blow), mm(r.regulated.aftertouch),
             gf(r.down_weight), gf(r.up_weight), r.weighed ? r.distance_ratio : none, mm(r.regulated.let_off),
             mm(r.regulated.drop), failed});
    }
}

}  // namespace

Document policies_document(const std::vector<PolicySetUp>& set_ups, const std::string& base_name,
                           const std::string& own_policy, const std::vector<std::string>& borrowed) {
  Document d("regulate");
  d.set("base", base_name);
  d.set("policy_of_the_case", own_policy);
  d.note("Each set-up regulated by each policy: what gives way under it, and the down weight then.");
  for (const auto& text : borrowed) d.note(text);
  d.space();
  add_lines(set_ups, d);
  add_results(set_ups, d);
  bool told = false;
  for (const PolicySetUp& s : set_ups)
    for (const PolicyResult& r : s.results)
      for (const auto& f : r.regulated.failures) {
        if (!std::exchange(told, true)) d.space();
        d.bullet(fmt::format("{}, {}: not to the specification, {}: {}", s.name, r.policy, f.requirement,
                             f.advice));
      }
  d.details("where each screw goes");
  d.space();
  d.note(
      fmt::format("Screws are counted from the base \"{}\" regulated by the case's own policy ({}). "
                  "\"results\" marks what gives way.",
                  base_name, own_policy));
  for (const PolicySetUp& s : set_ups) d.text([s](const Look& look) { return write_one(s, look); });
  d.essentials();
  return d;
}

}  // namespace leverwright::table

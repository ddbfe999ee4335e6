#include "viz/table/weigh_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/base/units.h"
#include "viz/table/bench_table.h"
#include "viz/table/compare_table.h"

namespace leverwright::table {

using study::SetUpResult;

namespace {

constexpr double kLeastNormal = 0.02;  // N; lighter touches leave no mark

std::string gf(double newton, int decimals = 1) { return fixed(newton / base::kGramForce, decimals); }
std::string mm(double metre, int decimals = 2) { return fixed(metre * 1e3, decimals); }

// Normal force, place on the mate and sliding speed of one group of contacts.
struct Rub {
  double normal = 0, friction = 0, place = 0, rate = 0;
};
Rub find_rub(const action::Action& a, const run::StaticSample& s, const std::string& group,
             bool on_own_face) {
  Rub r;
  for (std::size_t i = 0; i < s.normal.size(); ++i) {
    if (a.mechanism.contacts[i]->group != group || s.normal[i] <= 0) continue;
    r.normal += s.normal[i];
    r.friction += s.tangential[i];
    r.place += s.normal[i] * (on_own_face ? s.touches[i].s_a : s.touches[i].s_b);
    r.rate += s.normal[i] * s.slip_rate[i];
  }
  if (r.normal > 0) {
    r.place /= r.normal;
    r.rate /= r.normal;
  }
  return r;
}

void add(Grid& grid, const std::string& name, const std::string& value, const std::string& unit,
         const std::string& note = "") {
  grid.add({{name}, {value, Colour::kPlain, true}, {unit, Colour::kQuiet}, {note, Colour::kQuiet}});
}

}  // namespace

LedgerMeans find_ledger_means(const SetUpResult& s) {
  LedgerMeans out;
  const auto& w = s.weighing;
  const auto& m = s.action.mechanism;
  const std::size_t groups = m.groups().size();
  for (const auto& g : m.groups()) out.rows.push_back({g});
  for (const auto& p : m.pivots) out.rows.push_back({p.name});
  const auto inside = [&](double dip) { return dip >= w.window_from - 1e-9 && dip <= w.window_to + 1e-9; };
  double length = 0;
  for (std::size_t k = 1; k < w.down.size() && k < w.up.size(); ++k) {
    if (!inside(w.down[k].travel) || !inside(w.down[k - 1].travel)) continue;
    const double h = 0.5 * (w.down[k].travel - w.down[k - 1].travel);  // weight of each end of the interval
    length += 2 * h;
    for (const std::size_t at : {k - 1, k}) {
      const auto &down = w.down[at], &up = w.up[at];
      for (std::size_t i = 0; i < down.normal.size(); ++i) {
        LedgerLine& row = out.rows[static_cast<std::size_t>(m.group_of(static_cast<int>(i)))];
        row.friction += h * 0.5 * (down.ledger.friction[i] + up.ledger.friction[i]);
        row.cloth += h * 0.5 * (down.ledger.cloth[i] + up.ledger.cloth[i]);
      }
      for (std::size_t p = 0; p < m.pivots.size(); ++p)
        out.rows[groups + p].friction += h * 0.5 * (down.ledger.pivot[p] + up.ledger.pivot[p]);
      out.stored += h * 0.5 * (down.ledger.stored - up.ledger.stored);
      out.half_difference += h * 0.5 * (down.force - up.force);
    }
  }
  if (length > 0) {
    for (LedgerLine& row : out.rows) {
      row.friction /= length;
      row.cloth /= length;
    }
    out.stored /= length;
    out.half_difference /= length;
  }
  std::stable_sort(out.rows.begin(), out.rows.end(),
                   [](const LedgerLine& a, const LedgerLine& b) { return a.whole() > b.whole(); });
  return out;
}

std::vector<SlideLine> find_slide_lines(const SetUpResult& s) {
  const std::pair<action::Place, const char*> places[] = {{action::kCapstanHeel, "from the wippen centre"},
                                                          {action::kJackKnuckle, "round the knuckle"},
                                                          {action::kLeverKnuckle, "round the knuckle"},
                                                          {action::kTenderButton, "round the tender"},
                                                          {action::kLeverDropScrew, "along the lever"}};
  std::vector<SlideLine> out;
  for (const auto& [place, mate] : places) {
    SlideLine line;
    line.place = action::kPlaceNames[static_cast<std::size_t>(place)];
    line.mate_words = mate;
    // Heel places are counted from the wippen centre towards the player, the others along the mate.
    // Button and screw are points here: the mark is on what meets them.
    const bool own_face = place == action::kTenderButton || place == action::kLeverDropScrew;
    const double sign = place == action::kCapstanHeel ? -1 : 1;
    bool met = false;
    double last_dip = 0;
    int direction = 0;
    for (const auto& sample : s.weighing.down) {
      const double h = sample.travel - last_dip;
      last_dip = sample.travel;
      Rub r = find_rub(s.action, sample, line.place, own_face);
      r.place *= sign;
      if (r.normal < kLeastNormal) continue;
      if (!met) {
        met = true;
        line.from = line.least = line.most = r.place;
        line.normal_least = line.normal_most = r.normal;
      }
      line.to = r.place;
      line.least = std::min(line.least, r.place);
      line.most = std::max(line.most, r.place);
      line.normal_least = std::min(line.normal_least, r.normal);
      line.normal_most = std::max(line.normal_most, r.normal);
      line.slid += h * std::abs(r.rate);
      line.work += h * std::abs(r.friction * r.rate);
      const int now = r.rate > 1e-3 ? 1 : r.rate < -1e-3 ? -1 : direction;
      if (direction != 0 && now != direction) ++line.reversals;
      direction = now;
    }
    if (met) out.push_back(line);
  }
  return out;
}

std::string write_friction_places(const study::Comparison& c, const Look& look) {
  constexpr double kWorthARow = 0.2 * base::kGramForce;
  std::vector<LedgerMeans> ledgers;
  std::vector<std::string> places;
  for (const auto& s : c.set_ups) {
    ledgers.push_back(s.weighing.ok ? find_ledger_means(s) : LedgerMeans{});
    for (const LedgerLine& row : ledgers.back().rows)
      if (row.whole() >= kWorthARow && std::find(places.begin(), places.end(), row.place) == places.end())
        places.push_back(row.place);
  }
  const std::string heel = action::kPlaceNames[action::kCapstanHeel];  // always: it is what is asked about
  if (std::find(places.begin(), places.end(), heel) == places.end()) places.push_back(heel);
  const auto of = [](const LedgerMeans& ledger, const std::string& place) {
    for (const LedgerLine& row : ledger.rows)
      if (row.place == place) return row.whole();
    return std::numeric_limits<double>::quiet_NaN();
  };
  std::vector<std::pair<std::string, std::vector<std::string>>> rows;
  for (const auto& place : places) {
    rows.push_back({place, {}});
    for (const auto& ledger : ledgers) rows.back().second.push_back(gf(of(ledger, place)));
  }
  rows.push_back({"all others, and stored energy", {}});
  rows.push_back({"half of force down less up", {}});
  for (const auto& ledger : ledgers) {
    double rest = ledger.half_difference;
    for (const auto& place : places) rest -= of(ledger, place);
    rows[rows.size() - 2].second.push_back(gf(rest));
    rows.back().second.push_back(ledger.rows.empty() ? "-" : gf(ledger.half_difference));
  }
  return write_across(c, rows, look) + wrap(
                                           "gf at the playing point, mean over the stroke up to the tender's "
                                           "meeting its button; down and up weight are set at "
                                           "its ends and their half difference is larger.",
                                           look.width);
}

std::string write_weighing(const case_file::CaseDescription& d, const SetUpResult& s, const Look& look) {
  const auto& w = s.weighing;
  const auto& r = s.regulated;
  std::string out = paint(s.name, Colour::kHeading, look) + "\n";
  if (!s.description.empty()) out += wrap(s.description, look.width);
  out += "\n";
  Grid numbers({34, 0, 2, std::max(20, look.width - 62)});
  add(numbers, "down weight", gf(w.down_weight), "gf",
      fmt::format("set at {} mm of dip", mm(w.dip_of_down_weight, 1)));
  add(numbers, "up weight", gf(w.up_weight), "gf",
      fmt::format("set at {} mm of dip", mm(w.dip_of_up_weight, 1)));
  add(numbers, "balance weight", gf(w.balance_weight), "gf");
  add(numbers, "friction", gf(w.friction), "gf", "half of down weight less up weight");
  add(numbers, "mean force going down, coming up", gf(w.mean_down) + " " + gf(w.mean_up), "gf",
      fmt::format("over {} to {} mm of dip, where the tender meets its button", mm(w.window_from, 1),
                  mm(w.window_to, 1)));
  add(numbers, "let-off resistance", gf(w.let_off_resistance), "gf",
      "greatest force at let-off above the force just before");
  add(numbers, "distance ratio", fixed(w.distance_ratio, 2), "",
      "hammer travel over key travel, rest to let-off");
  add(numbers, "weight ratio", fixed(w.weight_ratio, 2), "", "from balance, front, wippen and strike weight");
  add(numbers, "lever product", fixed(w.lever_product, 2), "",
      "straight arms at half stroke; differs from both ratios by its nature");
  add(numbers, "dip, blow", mm(r.dip) + " " + mm(r.blow, 1), "mm");
  add(numbers, "let-off, drop, aftertouch", mm(r.let_off) + " " + mm(r.drop) + " " + mm(r.aftertouch), "mm");
  out += numbers.write(look);

  const LedgerMeans ledger = find_ledger_means(s);
  out += "\n" + paint("Where the friction is", Colour::kHeading, look) + "\n";
  out += wrap(
      "Each place from its own force and its own sliding, at the playing point, mean over the same dips.",
      look.width);
  out += "\n";
  Grid rows({42, 8, 8, 8, 7});
  rows.add({{"place", Colour::kQuiet},
            {"rubbing", Colour::kQuiet, true},
            {"in cloth", Colour::kQuiet, true},
            {"gf", Colour::kQuiet, true},
            {"share", Colour::kQuiet, true}});
  rows.add_rule();
  double shown = 0, sum = ledger.stored;
  for (const LedgerLine& row : ledger.rows) {
    sum += row.whole();
    if (std::abs(row.whole()) < 0.005 * base::kGramForce) continue;
    shown += row.whole();
    rows.add({{row.place},
              {gf(row.friction, 2), Colour::kPlain, true},
              {gf(row.cloth, 2), Colour::kPlain, true},
              {gf(row.whole(), 2), Colour::kPlain, true},
              {fixed(100 * row.whole() / ledger.half_difference, 0) + " %", Colour::kPlain, true}});
  }
  const double rest = sum - shown - ledger.stored;
  rows.add({{"all other places"}, {""}, {""}, {gf(rest, 2), Colour::kPlain, true}, {""}});
  rows.add({{"energy stored differently up and down"},
            {""},
            {""},
            {gf(ledger.stored, 2), Colour::kPlain, true},
            {""}});
  rows.add_rule();
  rows.add({{"sum"}, {""}, {""}, {gf(sum, 2), Colour::kHeading, true}, {""}});
  rows.add({{"half of force down less force up"},
            {""},
            {""},
            {gf(ledger.half_difference, 2), Colour::kPlain, true},
            {""}});
  rows.add({{"as weighed, half of down less up weight"},
            {""},
            {""},
            {gf(w.friction, 2), Colour::kPlain, true},
            {""}});
  out += rows.write(look);

  out += "\n" + paint("Where the surfaces rub", Colour::kHeading, look) + "\n\n";
  Grid slides({30, 15, 7, 9, 13, 7, 22}, 2);
  slides.add({{"place", Colour::kQuiet},
              {"worn from .. to", Colour::kQuiet, true},
              {"slides", Colour::kQuiet, true},
              {"reversals", Colour::kQuiet, true},
              {"pressed with", Colour::kQuiet, true},
              {"work", Colour::kQuiet, true}});
  slides.add_rule();
  for (const SlideLine& line : find_slide_lines(s))
    slides.add({{line.place},
                {fmt::format("{} .. {} mm", mm(line.least, 1), mm(line.most, 1)), Colour::kPlain, true},
                {mm(line.slid) + " mm", Colour::kPlain, true},
                {std::to_string(line.reversals), Colour::kPlain, true},
                {fmt::format("{} .. {} gf", gf(line.normal_least, 0), gf(line.normal_most, 0)),
                 Colour::kPlain, true},
                {fixed(line.work * 1e6, 0) + " uJ", Colour::kPlain, true},
                {line.mate_words, Colour::kQuiet}});
  out += slides.write(look);
  out += wrap(fmt::format("At half stroke the capstan's contact stands {} mm {} the line of centres; its "
                          "least margin is {} mm to "
                          "the cap's edge and {} mm on the lifting face.",
                          mm(std::abs(s.bench.line_distance_half), 1),
                          s.bench.line_distance_half > 0 ? "above" : "below", mm(s.bench.cap_edge_margin, 1),
                          mm(s.bench.face_margin, 1)),
              look.width);
  std::string warnings;
  for (const auto& text : w.warnings) warnings += wrap(text, look.width, "- ", "  ");
  for (const auto& f : r.failures)
    warnings += wrap("not regulated to the specification: " + f.requirement + ": " + f.advice, look.width,
                     "- ", "  ");
  for (const auto& text : d.warnings) warnings += wrap(text, look.width, "- ", "  ");
  if (!warnings.empty()) out += "\n" + paint("Warnings", Colour::kHeading, look) + "\n\n" + warnings;
  return out;
}

}  // namespace leverwright::table

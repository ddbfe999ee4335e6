#include "viz/table/weigh_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "models/study/quantities.h"
#include "sim/base/units.h"
#include "viz/table/bench_table.h"
#include "viz/table/compare_table.h"
#include "viz/table/notes.h"

namespace leverwright::table {

using study::SetUpResult;

namespace {

std::string gf(double newton, int decimals = 1) { return fixed(newton / base::kGramForce, decimals); }
std::string mm(double metre, int decimals = 2) { return fixed(metre * 1e3, decimals); }

void add(Grid& grid, const std::string& name, const std::string& value, const std::string& unit,
         const std::string& note = "") {
  grid.add({{name}, {value, Colour::kPlain, true}, {unit, Colour::kQuiet}, {note, Colour::kQuiet}});
}

}  // namespace

LedgerMeans find_ledger_means(const SetUpResult& s) {
  using analysis::LedgerKind;
  LedgerMeans out;
  const std::size_t groups = s.action.mechanism.groups().size();
  for (const auto& g : s.action.mechanism.groups()) out.rows.push_back({g});
  for (const auto& pivot : s.action.mechanism.pivots) out.rows.push_back({pivot.name});
  for (const analysis::LedgerRow& row : s.facts.ledger.rows) {
    const auto of = static_cast<std::size_t>(row.of);
    if (row.kind == LedgerKind::kFriction) out.rows[of].friction = row.amount;
    if (row.kind == LedgerKind::kCloth) out.rows[of].cloth = row.amount;
    if (row.kind == LedgerKind::kPivot) out.rows[groups + of].friction = row.amount;
    if (row.kind == LedgerKind::kStored) out.stored = row.amount;
  }
  out.half_difference = s.facts.ledger.half_difference;
  std::stable_sort(out.rows.begin(), out.rows.end(),
                   [](const LedgerLine& a, const LedgerLine& b) { return a.whole() > b.whole(); });
  return out;
}

std::vector<SlideLine> find_slide_lines(const SetUpResult& s) {
  constexpr std::array<const char*, action::kRubbingContacts.size()> kMates = {
      "from the wippen centre", "round the knuckle", "round the knuckle", "round the tender",
      "along the lever"};
  std::vector<SlideLine> out;
  for (std::size_t k = 0; k < kMates.size(); ++k) {
    const action::ContactId place = action::kRubbingContacts[k];
    const analysis::SlidePath& path = s.facts.slides[k];
    if (!path.touched) continue;
    SlideLine line;
    line.place = action::kContactNames[static_cast<std::size_t>(place)];
    line.mate_words = kMates[k];
    // Heel places are counted from the wippen centre towards the player, the others along the mate.
    // Button and screw are points here: the mark is on what meets them.
    const bool own_face = place == action::kTenderButton || place == action::kLeverDropScrew;
    const analysis::Range& worn = own_face ? path.over_a : path.over_b;
    const bool turned = place == action::kCapstanHeel;
    line.least = turned ? -worn.to : worn.from;
    line.most = turned ? -worn.from : worn.to;
    line.slid = path.slide;
    line.slid_to_let_off = analysis::slide_to(path, s.regulated.dip_let_off);
    line.reversals = path.reversals;
    line.normal_least = path.normal.from;
    line.normal_most = path.normal.to;
    line.work = path.friction_work;
    out.push_back(line);
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
  const std::string heel = action::kContactNames[action::kCapstanHeel];  // always: it is what is asked about
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

namespace {

std::string write_weights(const SetUpResult& s, const Look& look) {
  const auto& w = s.weighing;
  const auto& r = s.regulated;
  std::string out = paint(s.name, Colour::kHeading, look) + "\n";
  if (!s.description.empty()) out += wrap(s.description, look.width);
  out += "\n";
  Grid numbers({34, 0, 2, std::max(20, look.width - 62)});
  const auto show = [&](std::size_t k, const std::string& note) {
    const study::Quantity& q = study::kQuantities[k];
    const study::Reading reading = study::read_quantity(q, s);
    const std::string unit = q.display_unit;
    add(numbers, q.name, fixed(reading.value * q.display_factor, q.decimals), unit == "1" ? "" : unit,
        reading.why_absent.empty() ? note : reading.why_absent);
  };
  show(study::kDownWeight, fmt::format("set at {} mm of dip", mm(w.dip_of_down_weight, 1)));
  show(study::kUpWeight, fmt::format("set at {} mm of dip", mm(w.dip_of_up_weight, 1)));
  show(study::kBalanceWeight, "");
  show(study::kFriction, "half of down weight less up weight");
  show(study::kForceFall, "of it: the forces fall with dip, so one weight is set early and one late");
  show(study::kMeanFriction, "of it: what is rubbed off, half of the mean forces' difference");
  add(numbers, "mean force going down, coming up", gf(w.mean_down) + " " + gf(w.mean_up), "gf",
      fmt::format("over {} to {} mm of dip, where the tender meets its button", mm(w.window_from, 1),
                  mm(w.window_to, 1)));
  show(study::kLetOffResistance, "greatest force at let-off above the force just before");
  show(study::kDistanceRatio, "hammer travel over key travel, rest to let-off");
  show(study::kWeightRatio, "from balance, front, wippen and strike weight");
  show(study::kLeverProduct, "straight arms at half stroke; differs from both ratios by its nature");
  add(numbers, "dip, blow", mm(r.dip) + " " + mm(r.blow, 1), "mm");
  add(numbers, "let-off, drop, aftertouch", mm(r.let_off) + " " + mm(r.drop) + " " + mm(r.aftertouch), "mm");
  out += numbers.write(look);
  return out;
}

std::string write_ledger(const SetUpResult& s, const Look& look) {
  std::string out;
  const LedgerMeans ledger = find_ledger_means(s);
  out += "\n" + paint("Where the friction is", Colour::kHeading, look) + "\n";
  out += wrap(
      "Each place from its own force and its own sliding, at the playing point, mean over the same dips.",
      look.width);
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
            {gf(s.weighing.friction, 2), Colour::kPlain, true},
            {""}});
  out += rows.write(look);
  return out;
}

std::string write_slides(const SetUpResult& s, const Look& look) {
  std::string out;
  out += "\n" + paint("Where the surfaces rub", Colour::kHeading, look) + "\n\n";
  Grid slides({30, 15, 7, 7, 9, 13, 7, 22}, 1);
  slides.add({{"place", Colour::kQuiet},
              {"worn from .. to", Colour::kQuiet, true},
              {"let-off", Colour::kQuiet, true},
              {"dip", Colour::kQuiet, true},
              {"reversals", Colour::kQuiet, true},
              {"pressed with", Colour::kQuiet, true},
              {"lost", Colour::kQuiet, true}});
  slides.add_rule();
  for (const SlideLine& line : find_slide_lines(s))
    slides.add({{line.place},
                {fmt::format("{} .. {} mm", mm(line.least, 1), mm(line.most, 1)), Colour::kPlain, true},
                {mm(line.slid_to_let_off) + " mm", Colour::kPlain, true},
                {mm(line.slid) + " mm", Colour::kPlain, true},
                {std::to_string(line.reversals), Colour::kPlain, true},
                {fmt::format("{} .. {} gf", gf(line.normal_least, 0), gf(line.normal_most, 0)),
                 Colour::kPlain, true},
                {fixed(line.work * 1e6, 0) + " uJ", Colour::kPlain, true},
                {line.mate_words, Colour::kQuiet}});
  out += slides.write(look);
  out += wrap(
      "Under let-off and dip: how far the surfaces slide from rest to let-off and to full dip; all the rest "
      "is "
      "to full dip.",
      look.width);
  out += wrap(fmt::format("At half stroke the capstan's contact stands {} mm {} the line of centres; its "
                          "least margin is {} mm to "
                          "the cap's edge and {} mm on the lifting face.",
                          mm(std::abs(s.bench.line_distance_half), 1),
                          s.bench.line_distance_half > 0 ? "above" : "below",
                          mm(study::read_quantity(study::kQuantities[study::kCapEdgeMargin], s).value, 1),
                          mm(study::read_quantity(study::kQuantities[study::kFaceMargin], s).value, 1)),
              look.width);
  return out;
}

std::string write_weighing_warnings(const case_file::CaseDescription& d, const SetUpResult& s,
                                    const Look& look) {
  std::string warnings;
  for (const auto& text : s.weighing.warnings) warnings += wrap(text, look.width, "- ", "  ");
  for (const auto& f : s.regulated.failures)
    warnings += wrap("not regulated to the specification: " + f.requirement + ": " + f.advice, look.width,
                     "- ", "  ");
  for (const auto& text : d.warnings) warnings += wrap(text, look.width, "- ", "  ");
  return warnings.empty() ? "" : "\n" + paint("Warnings", Colour::kHeading, look) + "\n\n" + warnings;
}

}  // namespace

Document weighing_document(const case_file::CaseDescription& d, const SetUpResult& s) {
  Document out;
  out.text([&s](const Look& look) { return write_weights(s, look); });
  out.text([&s](const Look& look) { return write_ledger(s, look); });
  out.details("where the surfaces rub");
  out.text([&s](const Look& look) { return write_slides(s, look); });
  out.essentials();
  out.text([&d, &s](const Look& look) { return write_weighing_warnings(d, s, look); });
  out.text([&d](const Look& look) { return write_notes(d, look); });
  return out;
}

}  // namespace leverwright::table

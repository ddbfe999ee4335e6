#include "viz/table/order_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/judgement/sentences.h"
#include "models/study/quantities.h"
#include "models/study/remedies.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/table/bench_table.h"
#include "viz/table/json.h"
#include "viz/table/notes.h"

namespace leverwright::table {

using workshop::ExpectedReading;
using workshop::OrderMark;
using workshop::OrderTask;
using workshop::WorkOrder;

namespace {

std::string heading(const std::string& text, const Look& look) {
  return "\n" + paint(text, Colour::kHeading, look) + "\n\n";
}

// To twelve digits, so that 0.66 is not 0.6600000000000001.
Json number(double value) {
  return std::isfinite(value) ? Json(std::stod(fmt::format("{:.12g}", value))) : Json();
}

std::string target_of(action::Screw screw, const WorkOrder& o) {
  const auto& r = o.result().regulated;
  const auto& d = o.result().design;
  const auto mm = [](double m, int decimals = 1) { return fixed(1e3 * m, decimals) + " mm"; };
  switch (screw) {
    case action::kCapstan:
      return "hammer line: blow " + mm(r.blow);
    case action::kFrontPunching:
      return fmt::format("dip {}, aftertouch then {}", mm(r.dip, 2), mm(r.aftertouch, 2));
    case action::kLetOffButton:
      return "let-off " + mm(r.let_off);
    case action::kDropScrew:
      return "drop " + mm(r.drop);
    case action::kJackStop:
      return "jack in line with the string-side edge of the knuckle's core";
    case action::kLeverStop:
      return "jack's top clear of the knuckle by " + mm(d.jack_clearance) + " at rest";
    case action::kBackCheck:
      return "checking " + mm(o.result().played.checking);
    default:
      return "hammer rises from the check without a jump";
  }
}

// The order in which they are set: what stands under the hammer first, since 0.1 mm of lever height moves the
// blow by more than 1 mm; the spring once more when all else stands.
constexpr action::Screw kSequence[] = {
    action::kJackStop,      action::kLeverStop,    action::kRepetitionSpring,
    action::kCapstan,       action::kLetOffButton, action::kDropScrew,
    action::kFrontPunching, action::kBackCheck,    action::kRepetitionSpring};

}  // namespace

std::vector<RegulationLine> find_regulation_lines(const WorkOrder& o) {
  const auto advice = find_screw_advice(o.result());
  std::vector<RegulationLine> out = {
      {"keys", "level and eased, square on their pins", "by eye and straightedge"},
      {"hammers", "squared, spaced to the strings, travelling straight; shanks and wippens free", "by eye"}};
  for (std::size_t k = 0; k < std::size(kSequence); ++k) {
    const action::Screw screw = kSequence[k];
    const ScrewAdvice& a = advice[static_cast<std::size_t>(screw)];
    std::string move = "leave";
    if (!a.leave) move = a.direction + " " + a.amount + (a.left.empty() ? "" : ", " + a.left);
    const bool again = screw == action::kRepetitionSpring && k > 2;
    out.push_back({again ? "repetition spring, again" : a.screw, target_of(screw, o),
                   again ? "check, touch up" : move, static_cast<int>(screw)});
  }
  return out;
}

std::string tolerance_words(const OrderMark& m) {
  if (!(m.tolerance > 0)) return "";
  if (!m.critical) return fmt::format("over +- {:.2g} {}", m.tolerance, m.unit);
  return fmt::format("+- {:.2g} {}", m.tolerance, m.unit);
}

std::string allowed_words(const WorkOrder& o) {
  const char* results = o.policy == "keep dip and blow"          ? "aftertouch"
                        : o.policy == "keep blow and aftertouch" ? "dip"
                                                                 : "blow";
  const double length = std::string(results) == "blow" ? o.allowed.blow : o.allowed.length;
  return fmt::format("{:g} gf of down weight, {:g} gf of friction or {:g} mm of {}",
                     std::round(o.allowed.down_weight / base::kGramForce * 1e6) / 1e6,
                     std::round(o.allowed.friction / base::kGramForce * 1e6) / 1e6, 1e3 * length, results);
}

std::vector<std::string> steps_before(const WorkOrder& o) {
  return {
      "Read the cautions on this order. Look for what the model does not see: sideways lean, twist, contacts "
      "off the middle.",
      "Feel for drag before anything is measured: key alone, then with the stack, each centre by hand and "
      "gauge, a "
      "loose lever and jack drawn along the knuckle. Ease what is tight; weigh again.",
      "Level and ease the keys; square and space the hammers, see that they travel straight.",
      fmt::format(
          "Regulate and weigh off the sample notes as they stand (\"{}\") and write the readings down "
          "as \"before\": without them nobody can say afterwards what the work did.",
          o.base),
      "Choose one of them as the trial note. Everything below is done on it alone first."};
}

std::vector<std::string> steps_after(const case_file::CaseDescription& d, const WorkOrder& o) {
  std::vector<std::string> out = {
      "Regulate the trial note by the table, in its order. The turns are where to begin; the targets decide.",
      "Weigh off and measure the trial note; write the readings down as \"after\" and hold them against "
      "their "
      "bands."};
  const auto& s = o.result();
  if (std::abs(s.lead_mass) > kLeastLead)
    out.push_back(fmt::format(
        "Leads, only when the friction is inside its band: {}. {}", balance_words(d, s),
        s.lead_mass > 0 ? "Weigh with the lead laid on the key before a hole is drilled."
                        : "Where no lead sits there, take the same moment (grams times distance) out "
                          "elsewhere; weigh before a hole is plugged."));
  out.push_back("Play the trial note soft, loud and repeated, and look at the mark on the heel cloth.");
  out.push_back(
      "All inside: the same on the other sample notes, regulated and weighed. All inside there too: one "
      "straight "
      "line through their marks for the whole set (leverwright keyboard finds it and says what each note "
      "loses), "
      "then the rest.");
  return out;
}

std::vector<std::string> stop_rules(const WorkOrder& o) {
  std::vector<std::string> out = {
      "A reading outside its band \"stop below, above\": stop before another note is touched. Type the "
      "readings into the "
      "measurements file and run leverwright afterwards: it names the most likely cause.",
      "A mark that came out beyond its tolerance: set it right on the trial note, or measure what it became "
      "and "
      "compute again with that.",
      "A screw that runs out of thread, a cap on its edge, a jack that does not clear: stop."};
  if (std::any_of(o.tasks.begin(), o.tasks.end(), [](const OrderTask& t) { return t.irreversible(); }))
    out.push_back(
        "Steps marked NOT REVERSIBLE: not on a second note before the trial note has been played by whoever "
        "plays the piano.");
  return out;
}

std::string reversible_words(const OrderTask& t) { return judgement::undone_words(t.undone); }

std::vector<Caution> order_cautions(const case_file::CaseDescription& d, const WorkOrder& o) {
  return find_cautions(remedies_of(d, o.comparison));
}

namespace {

std::string write_marks(const OrderTask& t, const Look& look) {
  Grid grid({0, 9, 5, 0, std::max(20, look.width - 76)});
  for (const OrderMark& m : t.marks)
    grid.add({{m.what},
              {fixed(m.value, m.decimals), Colour::kPlain, true},
              {m.unit},
              {tolerance_words(m)},
              {m.from}});
  return grid.write(look, "    ");
}

std::string write_screws(const std::vector<RegulationLine>& lines, const Look& look) {
  Grid screws({0, std::max(28, look.width / 2 - 20), 0});
  for (const auto& line : lines) screws.add({{line.screw}, {line.target}, {line.move}});
  return screws.write(look, "    ");
}

// What stays where it is needs no line of its own: it is checked against its target.
std::string write_screws_in_short(const WorkOrder& o, const Look& look) {
  std::vector<RegulationLine> moved;
  std::string stay;
  for (const auto& line : find_regulation_lines(o))
    if (line.move == "leave")
      stay += (stay.empty() ? "" : ", ") + line.screw;
    else if (line.index >= 0 && line.move != "check, touch up")
      moved.push_back(line);
  std::string out = moved.empty() ? "" : write_screws(moved, look);
  if (!stay.empty())
    out += wrap("Checked, and left where they stand: " + stay + ".", look.width, "    ", "    ");
  return out;
}

// Of the trial note (the case's own, else the first), or of the others.
std::string write_expected(const WorkOrder& o, bool trial, const Look& look) {
  const bool own = std::any_of(o.expected.begin(), o.expected.end(),
                               [&](const ExpectedReading& e) { return e.note == o.note; });
  const std::string trial_note = own || o.expected.empty() ? o.note : o.expected.front().note;
  Grid readings({0, 0, 0, 0, 0, 0});
  readings.add({{"note", Colour::kQuiet},
                {"reading", Colour::kQuiet},
                {"before", Colour::kQuiet, true},
                {"predicted", Colour::kQuiet, true},
                {"95 %", Colour::kQuiet, true},
                {"stop below, above", Colour::kQuiet, true}});
  for (const ExpectedReading& e : o.expected) {
    if ((e.note == trial_note) != trial) continue;
    readings.add({{e.note},
                  {e.name + ", " + e.unit},
                  {fixed(e.before, e.decimals) + (std::isfinite(e.before) && e.as_found ? " *" : ""),
                   Colour::kPlain, true},
                  {fixed(e.predicted, e.decimals), Colour::kPlain, true},
                  {"+- " + fixed(e.band, e.decimals), Colour::kPlain, true},
                  {fixed(e.low, e.decimals) + ", " + fixed(e.high, e.decimals), Colour::kPlain, true}});
  }
  return readings.write(look, "    ");
}

constexpr const char* kSteps = "every step";

}  // namespace

Document order_document(const case_file::CaseDescription& d, const WorkOrder& o) {
  Document out;
  const bool no_way_back =
      std::any_of(o.tasks.begin(), o.tasks.end(), [](const OrderTask& t) { return t.irreversible(); });
  out.text([name = o.set_up, no_way_back](const Look& look) {
    return paint("Work order: " + name, Colour::kHeading, look) +
           (no_way_back ? paint(std::string("  ") + judgement::kNotReversibleMark, Colour::kBad, look) : "") +
           "\n";
  });
  out.note(fmt::format("{} - note {}{}.", o.title, o.note, o.invented ? ", an invented piano" : ""));
  if (!o.cautions.empty()) out.space();
  for (const std::string& caution : o.cautions) out.note(caution, "! ", "  ");
  out.space();
  out.note("What: " + o.what);
  out.note("Why: " + o.why);
  out.details("what it rests on");
  out.text([&d](const Look& look) { return write_notes(d, look); });
  out.details(kSteps);
  out.text([](const Look& look) { return heading("First", look); });
  int step = 0;
  const auto add_step = [&](const std::string& text) {
    out.note(text, fmt::format("{:2d}  ", ++step), "    ");
  };
  for (const auto& s : steps_before(o)) add_step(s);
  for (const OrderTask& t : o.tasks) {
    out.essentials();
    out.text([&t](const Look& look) {
      return heading(t.kind, look) +
             paint(reversible_words(t), t.irreversible() ? Colour::kBad : Colour::kPlain, look) + "; " +
             case_file::labour_words(t.spec->labour) + "\n\n" + write_marks(t, look);
    });
    out.details(kSteps);
    out.space();
    for (std::size_t k = 0; k < t.steps.size(); ++k)
      add_step((t.is_no_way_back(k) ? "NOT REVERSIBLE. " : "") + t.steps[k]);
    out.essentials();
    for (const auto& n : t.notes) out.note(n, "    ! ", "      ");
    out.note(fmt::format("Tools: {}. Watch out for: {}.", fmt::join(t.tools, "; "), t.spec->worry), "    ",
             "    ");
  }
  out.essentials();
  out.space();
  out.note("A tolerance is the shift that moves " + allowed_words(o) +
           ", found by regulating and weighing the action with it.");
  out.text([&o](const Look& look) { return heading("Regulate", look) + write_screws_in_short(o, look); });
  out.details(kSteps);
  out.text([&o](const Look& look) {
    return "\nEverything in its order:\n\n" + write_screws(find_regulation_lines(o), look);
  });
  out.space();
  for (const auto& s : steps_after(d, o)) add_step(s);
  out.essentials();
  out.text([&o](const Look& look) {
    return heading("What you should find", look) + write_expected(o, true, look);
  });
  if (std::any_of(o.expected.begin(), o.expected.end(),
                  [&](const auto& e) { return e.note != o.expected.front().note; })) {
    out.details("what the other sample notes should be");
    out.text([&o](const Look& look) { return "\n" + write_expected(o, false, look); });
    out.essentials();
  }
  if (std::any_of(o.expected.begin(), o.expected.end(),
                  [](const auto& e) { return e.as_found && std::isfinite(e.before); })) {
    out.space();
    out.note("* as found, before a screw was turned; not regulated.");
  }
  if (!o.with_before) {
    out.space();
    out.note(
        "No reading before the work is known: the bands are wide. Give the sample notes with --notes and "
        "they narrow, since errors both share cancel.");
  }
  out.text([](const Look& look) { return heading("Stop when", look); });
  for (const auto& s : stop_rules(o)) out.bullet(s);
  std::string in_short;
  for (const Caution& c : order_cautions(d, o))
    if (!c.in_short.empty()) in_short += (in_short.empty() ? "" : "; ") + c.about + ": " + c.in_short;
  out.space();
  out.note("Cautions. " + in_short + ". In full: leverwright cautions.");
  out.details("cautions in full");
  out.text([&d, &o](const Look& look) {
    return heading("Cautions", look) + write_cautions(order_cautions(d, o), look);
  });
  out.essentials();
  return out;
}

std::string write_order_json(const case_file::CaseDescription& d, const WorkOrder& o) {
  Json j;
  j["format"] = "leverwright order";
  j["format_version"] = 1;
  j["software_version"] = base::kVersion;
  j["status"] = o.stopped ? "stopped" : "complete";
  j["case"] = o.title;
  j["case_path"] = d.path;
  j["note"] = o.note;
  j["base"] = o.base;
  j["set_up"] = o.set_up;
  j["does"] = o.what;
  j["why"] = o.why;
  j["cautions_of_the_judgement"] = o.cautions;
  j["reversible"] = study::reversible(d.set_ups.back());
  j["allowed"] = {{"down_weight_gf", o.allowed.down_weight / base::kGramForce},
                  {"friction_gf", o.allowed.friction / base::kGramForce},
                  {"length_mm", 1e3 * o.allowed.length},
                  {"blow_mm", 1e3 * o.allowed.blow}};
  j["tolerances"] = Json::array();
  for (const auto& t : o.tolerances) {
    const std::string unit = workshop::mark_unit_of(t.dimension);
    const double si = workshop::mark_unit_in_si(unit);
    j["tolerances"].push_back({{"change", d.set_ups.back().changes[t.change].kind()},
                               {"amount", t.argument},
                               {"unit", unit},
                               {"value", number(t.value / si)},
                               {"scatter", number(t.scatter / si)},
                               {"tolerance", number(t.tolerance / si)},
                               {"critical", t.critical},
                               {"decided_by", t.decided_by},
                               {"down_weight_gf_per_unit", number(t.slope_down * si / base::kGramForce)},
                               {"up_weight_gf_per_unit", number(t.slope_up * si / base::kGramForce)},
                               {"friction_gf_per_unit", number(t.slope_friction * si / base::kGramForce)},
                               {"aftertouch_mm_per_unit", number(t.slope_aftertouch * si * 1e3)}});
  }
  j["tasks"] = Json::array();
  for (const OrderTask& t : o.tasks) {
    Json task = {{"kind", t.kind},
                 {"by_hand", t.hand},
                 {"reversible", t.spec->reversible},
                 {"undone", judgement::undone_words(t.undone)},
                 {"labour", case_file::labour_words(t.spec->labour)},
                 {"worry", t.spec->worry},
                 {"steps", t.steps},
                 {"no_way_back_steps", t.no_way_back},
                 {"tools", t.tools},
                 {"notes", t.notes},
                 {"marks", Json::array()}};
    for (const OrderMark& m : t.marks)
      task["marks"].push_back({{"what", m.what},
                               {"value", number(m.value)},
                               {"unit", m.unit},
                               {"from", m.from},
                               {"tolerance", m.tolerance > 0 ? number(m.tolerance) : Json(nullptr)},
                               {"critical", m.critical},
                               {"decided_by", m.because}});
    j["tasks"].push_back(task);
  }
  j["regulation"] = Json::array();
  for (const RegulationLine& line : find_regulation_lines(o)) {
    Json one = {{"screw", line.screw}, {"target", line.target}, {"move", line.move}};
    if (line.index >= 0) {
      const auto at = static_cast<std::size_t>(line.index);
      one["turns"] = number(o.result().turns[at]);
      one["thread_left_mm"] = number(1e3 * o.result().thread_left[at]);
    }
    j["regulation"].push_back(one);
  }
  j["expected"] = Json::array();
  for (const ExpectedReading& e : o.expected)
    j["expected"].push_back({{"note", e.note},
                             {"reading", e.name},
                             {"unit", e.unit},
                             {"before", number(e.before)},
                             {"before_as_found", e.as_found},
                             {"predicted", number(e.predicted)},
                             {"band_95", number(e.band)},
                             {"stop_below", number(e.low)},
                             {"stop_above", number(e.high)}});
  j["stop"] = stop_rules(o);
  j["cautions"] = Json::array();
  for (const Caution& c : order_cautions(d, o))
    j["cautions"].push_back({{"about", c.about}, {"text", c.text}});
  return j.dump(2) + "\n";
}

}  // namespace leverwright::table

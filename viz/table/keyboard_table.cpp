#include "viz/table/keyboard_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/all.h"
#include "sim/base/units.h"
#include "viz/table/cautions.h"

namespace leverwright::table {

using namespace keyboard;

namespace {

constexpr double kGf = 1 / base::kGramForce, kMm = 1e3, kG = 1e3;

Cell number(double si, double factor, int decimals, Colour colour = Colour::kPlain) {
  return {fixed(si * factor, decimals), colour, true};
}
Cell head(const std::string& text, bool right = true) { return {text, Colour::kQuiet, right}; }

std::string law_words(const Carried& c) {
  constexpr const char* kDegrees[] = {"level", "straight", "bow", "cubic", "quartic"};
  std::string out = kDegrees[std::min(c.degree, 4)];
  return c.apart ? out + ", apart" : out;
}

std::string write_carried(const Keyboard& k, const Look& look) {
  // A narrow terminal does without the middle of the keyboard.
  constexpr int kWhole = 115, kOthers = 63;  // with the gaps
  const bool narrow = look.width < kWhole;
  const std::vector<int> notes = narrow ? std::vector<int>{1, 88} : std::vector<int>{1, 40, 88};
  std::vector<int> widths{narrow ? std::clamp(look.width - kOthers, 11, 27) : 27, 15, 7};
  std::vector<Cell> heads{head("carried to 88", false), head("law", false), head("scatter")};
  if (!narrow) {
    widths.insert(widths.begin() + 1, 5);
    heads.insert(heads.begin() + 1, head("read"));
  }
  for (const int note : notes) {
    widths.insert(widths.end(), {7, 6});
    heads.insert(heads.end(), {head(note_name(note)), head("+-")});
  }
  widths.push_back(8);
  heads.push_back(head("to halve"));
  Grid grid(widths, 1);
  grid.add(heads);
  grid.add_rule();
  for (std::size_t c = 0; c < k.carried.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    const Carried& carried = k.carried[c];
    const double f = column.display_factor;
    std::vector<Cell> cells{{column.name + (column.display_unit == "1" ? "" : ", " + column.display_unit)}};
    if (!narrow) cells.push_back({std::to_string(carried.samples.size()), Colour::kPlain, true});
    cells.push_back({law_words(carried)});
    cells.push_back({!carried.scatter_known ? "-"
                     : column.logarithmic   ? fixed(100 * carried.scatter, 0) + " %"
                                            : fixed(carried.scatter * f, column.decimals + 1),
                     Colour::kPlain, true});
    for (const int note : notes) {
      const NoteValue v = value_at(column, carried, note);
      const Colour colour = carried.at(note).extrapolated ? Colour::kBad : Colour::kPlain;
      cells.push_back(number(v.value, f, column.decimals, colour));
      cells.push_back(number(v.sigma, f, column.decimals + (column.decimals < 2 ? 1 : 0), colour));
    }
    cells.push_back({!carried.scatter_known         ? "-"
                     : carried.samples_to_halve > 0 ? std::to_string(carried.samples_to_halve)
                                                    : "never",
                     Colour::kPlain, true});
    grid.add(cells);
  }
  return grid.write(look) + wrap(
                                "law: of the line over note numbers, apart where naturals and sharps have "
                                "lines of their own; scatter: how "
                                "far single notes lie from it, beyond the readings' errors; +-: one standard "
                                "deviation of a single note; to "
                                "halve: how many more samples, spread like these, halve the band of a note "
                                "that was not measured (never: "
                                "scatter alone is more; only measuring that note helps).",
                                look.width);
}

std::vector<int> shown_notes(const Keyboard& k, bool all) {
  if (all) return k.notes;
  std::vector<int> out;
  for (const int note : k.notes)
    if (note == k.notes.front() || note == k.notes.back() || (note + 8) % 12 == 0 ||
        std::count(k.input.sampled.begin(), k.input.sampled.end(), note) > 0)
      out.push_back(note);
  return out;
}

std::string lead_text(const LeadPlan& plan) {
  if (plan.leads.empty()) return plan.found ? "none" : "out of reach";
  std::string out;
  for (const auto& lead : plan.leads)
    out += fmt::format("{}{:.0f}@{:.0f}", out.empty() ? "" : " ", lead.mass * kG, lead.distance * kMm);
  return out + (plan.found ? "" : " short");
}

std::string note_words(const Keyboard& k, int note) {
  const bool sampled = std::count(k.input.sampled.begin(), k.input.sampled.end(), note) > 0;
  return fmt::format("{:2} {}{}", note, note_name(note), sampled ? " *" : "");
}

std::string write_notes(const Keyboard& k, bool all, const Look& look) {
  const Course *found = k.find(CourseKind::kAsFound), *line = k.find(CourseKind::kNearestLine);
  if (found == nullptr) return "";
  Grid grid({9, 5, 5, 5, 5, 6, 6, 5, 5, 5, 5, 6}, 1);
  grid.add({head("note", false), head("D"), head("U"), head("F"), head("+-D"), head("on the"), head("miss"),
            head("D"), head("U"), head("F"), head("ratio"), head("after-")});
  grid.add({head("", false), head("found"), head("gf"), head("gf"), head("gf"), head("line"), head("mm"),
            head("line"), head("gf"), head("gf"), head("dist"), head("touch")});
  grid.add_rule();
  for (const int note : shown_notes(k, all)) {
    const auto i = static_cast<std::size_t>(note - 1);
    const auto& f = found->measures[i];
    std::vector<Cell> cells{{note_words(k, note), is_sharp(note) ? Colour::kQuiet : Colour::kPlain}};
    for (const auto m : {study::kDownWeight, study::kUpWeight, study::kFriction})
      cells.push_back(number(f[m], kGf, 1));
    cells.push_back(number(k.bands ? k.bands->total[i][study::kDownWeight] : NAN, kGf, 1));
    if (line && !k.wanted.empty()) {
      const auto& l = line->measures[i];
      cells.push_back(number(line->place[i], kMm, 1));
      cells.push_back({fixed_signed(k.wanted.front().squares.miss[i] * kMm, 2), Colour::kPlain, true});
      for (const auto m : {study::kDownWeight, study::kUpWeight, study::kFriction})
        cells.push_back(number(l[m], kGf, 1));
      cells.push_back(number(l[study::kDistanceRatio], 1, 2));
      cells.push_back(number(l[study::kAftertouch], kMm, 2));
    }
    grid.add(cells);
  }
  return grid.write(look) +
         wrap(
             "* sample note. D, U, F: down weight, up weight, friction as found and with the capstan on the "
             "nearest straight line; place and miss of the line in mm from the wippen centres; regulated "
             "afresh each time.",
             look.width);
}

std::string write_three_ways(const Keyboard& k, bool all, const Look& look) {
  const Course *leaded = k.find(CourseKind::kLeads), *sprung = k.find(CourseKind::kSprings);
  if (k.leads.empty() || !leaded || !sprung) return "";
  constexpr int kFixed = 8 + 5 + 5 + 5 + 5 + 3 * 4 + 6 + 4 + 12;  // with the gaps
  const int leads = std::clamp((look.width - kFixed) / 3, 6, 20);
  Grid grid({8, 5, 5, 5, 5, leads, 4, leads, 4, leads, 4, 6, 4}, 1);
  grid.add({head("note", false), head("bare"), head("with"), head("D"), head("U"), head("fewest", false),
            head("mass"), head("least inertia", false), head("mass"), head("least lead", false), head("mass"),
            head("spring"), head("mass")});
  grid.add({head("", false), head("gf"), head("gf"), head("gf"), head("gf"), head("g@mm", false), head("g"),
            head("g@mm", false), head("g"), head("g@mm", false), head("g"), head("gf"), head("g")});
  grid.add_rule();
  for (const int note : shown_notes(k, all)) {
    const auto i = static_cast<std::size_t>(note - 1);
    const NoteLeads& l = k.leads[i];
    const auto& m = leaded->measures[i];
    const double weight = l.front_weight(LeadWish::kFewest);
    std::vector<Cell> cells{
        {note_words(k, note)},
        number(l.bare_front_weight, kGf, 1),
        number(weight, kGf, 1, weight > l.front_weight_limit ? Colour::kBad : Colour::kPlain),
        number(m[study::kDownWeight], kGf, 1),
        number(m[study::kUpWeight], kGf, 1)};
    for (std::size_t p = 0; p < 3; ++p) {
      cells.push_back({lead_text(l.plans[p])});
      // The model was run with the first; the others differ by their leads' own inertia alone.
      cells.push_back(number(m[study::kReflectedMass] + l.plans[p].reflected - l.plans[0].reflected, kG, 0));
    }
    cells.push_back(number(l.spring, kGf, 1));
    cells.push_back(number(sprung->measures[i][study::kReflectedMass], kG, 0));
    grid.add(cells);
  }
  return grid.write(look) +
         wrap(
             "bare, with: front weight without leads and with the fewest; D, U: down and up weight then; the "
             "same front weight three ways (mass in g at mm from the balance hole), and by a spring instead; "
             "mass: what the finger meets at half stroke.",
             look.width);
}

}  // namespace

Document keyboard_document(const Keyboard& k, bool all) {
  Document out;
  out.text([](const Look& look) { return paint("Answers", Colour::kHeading, look) + "\n"; });
  for (const std::string& s : keyboard_sentences(k)) out.bullet(s);
  case_file::RemedyList list;
  if (!k.wanted.empty()) list.push_back(&remedies::capstan_moved());
  if (!k.leads.empty()) {
    list.push_back(&remedies::lead());
    list.push_back(&remedies::assist_spring());
  }
  out.heading("Cautions");
  for (const case_file::Remedy* remedy : list) out.bullet(remedy->row.kind + ": " + remedy->row.worry + ".");
  out.text([list](const Look& look) { return write_short_cautions(list, look); });
  out.details("what was carried, note by note, leads and springs, cautions in full");
  out.space();
  out.text([&k](const Look& look) { return write_carried(k, look); });
  out.space();
  out.text([&k, all](const Look& look) { return write_notes(k, all, look); });
  out.text([&k, all](const Look& look) {
    const std::string ways = write_three_ways(k, all, look);
    return ways.empty() ? ways : "\n" + ways;
  });
  out.heading("Cautions in full");
  out.text([list](const Look& look) { return write_cautions(find_cautions(list), look); });
  out.essentials();
  return out;
}

}  // namespace leverwright::table

#include "viz/table/keyboard_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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
  Grid grid({27, 5, 15, 8, 8, 6, 8, 6, 8, 6, 8}, 1);
  grid.add({head("carried to 88", false), head("read"), head("law", false), head("scatter"), head("A0"),
            head("+-"), head("C4"), head("+-"), head("C8"), head("+-"), head("to halve")});
  grid.add_rule();
  for (std::size_t c = 0; c < k.carried.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    const Carried& carried = k.carried[c];
    const double f = column.display_factor;
    std::vector<Cell> cells{{column.name + (column.display_unit == "1" ? "" : ", " + column.display_unit)},
                            {std::to_string(carried.samples.size()), Colour::kPlain, true},
                            {law_words(carried)},
                            {!carried.scatter_known ? "-"
                             : column.logarithmic   ? fixed(100 * carried.scatter, 0) + " %"
                                                    : fixed(carried.scatter * f, column.decimals + 1),
                             Colour::kPlain, true}};
    for (const int note : {1, 40, 88}) {
      const NoteValue v = value_at(column, carried, note);
      const Colour colour = carried.at(note).extrapolated ? Colour::kBad : Colour::kPlain;
      cells.push_back(number(v.value, f, column.decimals, colour));
      cells.push_back(number(v.sigma, f, column.decimals + (column.decimals < 2 ? 1 : 0), colour));
    }
    cells.push_back({carried.samples_to_halve > 0 ? std::to_string(carried.samples_to_halve) : "never",
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

std::string write_notes(const Keyboard& k, bool all, const Look& look) {
  const Course *found = k.find(CourseKind::kAsFound), *line = k.find(CourseKind::kNearestLine),
               *leaded = k.find(CourseKind::kLeads);
  if (found == nullptr) return "";
  const bool leads = leaded != nullptr && !k.leads.empty();
  Grid grid(leads ? std::vector<int>{9, 5, 5, 5, 6, 6, 6, 5, 5, 5, 5, 6, 6, 5, 5, 0}
                  : std::vector<int>{9, 5, 5, 5, 6, 6, 6, 5, 5, 5, 5, 6},
            1);
  std::vector<Cell> one{head("note", false), head("D"), head("U"), head("F"), head("+-D"),   head("on the"),
                        head("miss"),        head("D"), head("U"), head("F"), head("ratio"), head("after-")};
  std::vector<Cell> two{head("", false), head("found"), head("gf"), head("gf"), head("gf"),   head("line"),
                        head("mm"),      head("line"),  head("gf"), head("gf"), head("dist"), head("touch")};
  if (leads) {
    for (const char* word : {"front", "D", "mass"}) one.push_back(head(word));
    for (const char* word : {"gf", "gf", "g"}) two.push_back(head(word));
    one.push_back(head("leads, g@mm", false));
    two.push_back(head("from the balance hole", false));
  }
  grid.add(one);
  grid.add(two);
  grid.add_rule();
  for (const int note : shown_notes(k, all)) {
    const auto i = static_cast<std::size_t>(note - 1);
    const bool sampled = std::count(k.input.sampled.begin(), k.input.sampled.end(), note) > 0;
    const auto& f = found->measures[i];
    std::vector<Cell> cells{{fmt::format("{:2} {}{}", note, note_name(note), sampled ? " *" : ""),
                             is_sharp(note) ? Colour::kQuiet : Colour::kPlain}};
    for (const auto m : {study::kDownWeight, study::kUpWeight, study::kFriction})
      cells.push_back(number(f[m], kGf, 1));
    cells.push_back(number(k.bands ? k.bands->total[i][study::kDownWeight] : NAN, kGf, 1));
    if (line && !k.wanted.empty()) {
      const auto& l = line->measures[i];
      const double miss = k.wanted.front().squares.miss[i];
      cells.push_back(number(line->place[i], kMm, 1));
      cells.push_back({fixed_signed(miss * kMm, 2), Colour::kPlain, true});
      for (const auto m : {study::kDownWeight, study::kUpWeight, study::kFriction})
        cells.push_back(number(l[m], kGf, 1));
      cells.push_back(number(l[study::kDistanceRatio], 1, 2));
      cells.push_back(number(l[study::kAftertouch], kMm, 2));
    } else {
      for (int n = 0; n < 7; ++n) cells.push_back({"-", Colour::kPlain, true});
    }
    if (leads) {
      const NoteLeads& l = k.leads[i];
      const double weight = l.front_weight(LeadWish::kFewest);
      cells.push_back(number(weight, kGf, 1, weight > l.ceiling ? Colour::kBad : Colour::kPlain));
      cells.push_back(number(leaded->measures[i][study::kDownWeight], kGf, 1));
      cells.push_back(number(leaded->measures[i][study::kReflectedMass], kG, 0));
      cells.push_back({lead_text(l.plans[0])});
    }
    grid.add(cells);
  }
  return grid.write(look) +
         wrap(
             fmt::format(
                 "* sample note. D, U, F: down weight, up weight, friction as found and with the capstan on "
                 "the "
                 "nearest straight line; place and miss of the line in mm from the wippen centres; regulated "
                 "afresh each time{}",
                 leads ? "; front weight, down weight and the mass met by the finger with the fewest leads."
                       : "."),
             look.width);
}

std::string write_three_ways(const Keyboard& k, bool all, const Look& look) {
  const Course *leaded = k.find(CourseKind::kLeads), *sprung = k.find(CourseKind::kSprings);
  if (k.leads.empty() || !leaded || !sprung) return "";
  Grid grid({9, 7, 7, 26, 6, 26, 6, 26, 6, 7, 6}, 1);
  grid.add({head("note", false), head("wanted"), head("bare"), head("fewest leads", false), head("mass"),
            head("least inertia", false), head("mass"), head("least lead", false), head("mass"),
            head("spring"), head("mass")});
  grid.add({head("", false), head("gf"), head("gf"), head("g@mm", false), head("g"), head("g@mm", false),
            head("g"), head("g@mm", false), head("g"), head("gf"), head("g")});
  grid.add_rule();
  for (const int note : shown_notes(k, all)) {
    const auto i = static_cast<std::size_t>(note - 1);
    const NoteLeads& l = k.leads[i];
    const double mass = leaded->measures[i][study::kReflectedMass];
    std::vector<Cell> cells{{fmt::format("{:2} {}", note, note_name(note))},
                            number(l.wanted_front_weight, kGf, 1),
                            number(l.bare_front_weight, kGf, 1)};
    for (std::size_t p = 0; p < 3; ++p) {
      cells.push_back({lead_text(l.plans[p])});
      // The model was run with the first; the others differ by their leads' own inertia alone.
      cells.push_back(number(mass + l.plans[p].reflected - l.plans[0].reflected, kG, 0));
    }
    cells.push_back(number(l.spring, kGf, 1));
    cells.push_back(number(sprung->measures[i][study::kReflectedMass], kG, 0));
    grid.add(cells);
  }
  return grid.write(look) + wrap(
                                "The same front weight three ways, and by a spring instead; mass: what the "
                                "finger meets at half stroke.",
                                look.width);
}

}  // namespace

std::string write_keyboard(const Keyboard& k, bool all, const Look& look) {
  std::string out = write_carried(k, look);
  out += "\n" + write_notes(k, all, look);
  const std::string ways = write_three_ways(k, all, look);
  if (!ways.empty()) out += "\n" + ways;
  out += "\n" + paint("Answers", Colour::kHeading, look) + "\n";
  for (const std::string& s : keyboard_sentences(k)) out += wrap(s, look.width, "- ", "  ");
  std::vector<std::string> kinds;
  if (!k.wanted.empty()) kinds.emplace_back("capstan moved");
  if (!k.leads.empty()) {
    kinds.emplace_back("lead");
    kinds.emplace_back("assist spring");
  }
  out += "\n" + paint("Cautions", Colour::kHeading, look) + "\n";
  for (const std::string& kind : kinds)
    out += wrap(kind + ": " + usual_worry(kind) + ".", look.width, "- ", "  ");
  return out + write_cautions(find_cautions(kinds), look);
}

}  // namespace leverwright::table

#include "models/keyboard/keyboard.h"

#include <fmt/format.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/calibrate/left_out.h"
#include "models/keyboard/bands.h"
#include "models/keyboard/lean.h"
#include "models/keyboard/work.h"
#include "models/study/set_up_solver.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::keyboard {

using case_file::CaseDescription;
using study::Measures;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kFarthestShift = 12e-3;                     // of a capstan looked for [m]
constexpr double kFirstTry = 1e-3;                           // [m]
constexpr int kTries = 6;                                    // secants
constexpr double kAftertouchGood = 5e-6, kRatioGood = 2e-3;  // [m], 1
constexpr double kStrongestSpring = 40 * base::kGramForce;   // as the change allows

struct NoteState {
  CaseDescription description;
  study::SetUpSolver solver;
  double place = 0;  // as found
  bool ready = false;
};

// A weighed note's own deviation, on every course of it.
void add_own(Course& c, const Lean& lean) {
  for (std::size_t i = 0; i < c.measures.size(); ++i) {
    const Eigen::Vector2d& by = lean.own[i].shift;
    Measures& m = c.measures[i];
    m[study::kDownWeight] += by[0];
    m[study::kUpWeight] += by[1];
    m[study::kBalanceWeight] += 0.5 * (by[0] + by[1]);
    m[study::kFriction] += 0.5 * (by[0] - by[1]);
  }
}

struct Study {
  const CaseDescription& base;
  Keyboard& k;
  Work& work;
  const Lean& lean;
  std::vector<NoteState> notes;  // by note - 1; only those asked are ready

  std::size_t index(std::size_t job) const { return static_cast<std::size_t>(k.notes[job] - 1); }

  Course new_course(CourseKind kind, const char* key, const char* name) const {
    Course c;
    c.kind = kind;
    c.key = key;
    c.name = name;
    Measures none;
    none.fill(kNone);
    c.place.assign(kNoteCount, kNone);
    c.measures.assign(kNoteCount, none);
    c.why_not.assign(kNoteCount, "");
    return c;
  }

  void as_found() {
    Course c = new_course(CourseKind::kAsFound, "as_found", "as found");
    work.run("as found", k.notes.size(), [&](std::size_t job) {
      NoteState& n = notes[index(job)];
      n.description = describe_note(base, k.input, k.carried, k.notes[job]);
      std::string& why_not = c.why_not[index(job)];
      why_not = find_implausible(k.input, k.carried, k.notes[job]);
      if (!why_not.empty()) return;
      try {
        n.place = capstan_place(n.description);
        n.solver = study::SetUpSolver(n.description);
      } catch (const base::UserError&) {
        why_not = "its measurements cannot belong to one action";
        return;
      }
      c.place[index(job)] = n.place;
      c.measures[index(job)] = n.solver.measure(n.description, 0, {}, &why_not);
      n.ready = true;
    });
    k.courses.push_back(std::move(c));
  }

  Measures with_capstan_at(std::size_t i, double place, std::string* why_not) const {
    CaseDescription d = notes[i].description;
    move_capstan(d, notes[i].place - place);
    return notes[i].solver.measure(d, 0, {}, why_not);
  }

  // Secants on the shift until the number is as asked; NaN when it is not to be had near by.
  double seek_place(std::size_t i, study::MeasureIndex measure, double target, double good) const {
    if (!notes[i].ready) return kNone;
    const double start = notes[i].place;
    double p0 = start, f0 = k.courses.front().measures[i][measure] - target;
    double p1 = start + kFirstTry, f1 = kNone;
    for (int tries = 0; tries < kTries; ++tries) {
      if (std::abs(f0) < good) return p0;
      f1 = with_capstan_at(i, p1, nullptr)[measure] - target;
      if (!std::isfinite(f1) || !std::isfinite(f0) || f1 == f0) return kNone;
      const double next = p1 - f1 * (p1 - p0) / (f1 - f0);
      p0 = p1;
      f0 = f1;
      p1 = next;
      if (std::abs(p1 - start) > kFarthestShift) return kNone;
    }
    return std::abs(f0) < 5 * good ? p0 : kNone;
  }

  void want(CapstanWish wish) {
    WantedPlaces w;
    w.wish = wish;
    w.place.assign(kNoteCount, kNone);
    w.sigma.assign(kNoteCount, 0);
    if (wish == CapstanWish::kMeasured) {
      const SampleColumn& column = *k.input.find("wanted_capstan");
      const auto c = static_cast<std::size_t>(&column - k.input.columns.data());
      for (int note = kFirstNote; note <= kLastNote; ++note) {
        const NoteValue v = value_at(column, k.carried[c], note);
        w.place[static_cast<std::size_t>(note - 1)] = v.value;
        w.sigma[static_cast<std::size_t>(note - 1)] = v.sigma;
      }
    } else if (wish == CapstanWish::kHeelMiddle) {
      const double middle =
          0.5 * (base.value("wippen.lifting_face_start") + base.value("wippen.lifting_face_end"));
      w.place.assign(kNoteCount, middle);
    } else {
      const bool regulation = wish == CapstanWish::kByRegulation;
      work.run(fmt::format("capstans {}", words_of(wish)), k.notes.size(), [&](std::size_t job) {
        const std::size_t i = index(job);
        w.place[i] = regulation ? seek_place(i, study::kAftertouch, k.input.aftertouch, kAftertouchGood)
                                : seek_place(i, study::kWeightRatio, k.input.weight_ratio, kRatioGood);
      });
      if (work.stopped()) return;
      const auto missing = std::count_if(k.notes.begin(), k.notes.end(), [&](int note) {
        return std::isnan(w.place[static_cast<std::size_t>(note - 1)]);
      });
      if (missing > 0)
        k.warnings.push_back(fmt::format(
            "Capstans {}: {} of {} notes find no such place within {:.0f} mm; they take no part in the line.",
            words_of(wish), missing, k.notes.size(), kFarthestShift * 1e3));
      const auto known = static_cast<long>(k.notes.size()) - missing;
      if (known < 2) return;
    }
    std::vector<double> weight(kNoteCount, 1);
    if (std::all_of(w.sigma.begin(), w.sigma.end(), [](double s) { return s > 0; }))
      for (std::size_t i = 0; i < kNoteCount; ++i) weight[i] = 1e-6 / (w.sigma[i] * w.sigma[i]);
    w.squares = fit_least_squares(w.place, weight);
    w.worst = fit_least_worst(w.place);
    w.break_after = k.input.break_after < 0 ? seek_break_least_squares(w.place, weight) : k.input.break_after;
    if (w.break_after > 0) w.broken = fit_least_squares(w.place, weight, w.break_after);
    k.wanted.push_back(std::move(w));
  }

  void run_course(Course c) {
    work.run(c.name, k.notes.size(), [&](std::size_t job) {
      const std::size_t i = index(job);
      if (!notes[i].ready || std::isnan(c.place[i])) return;
      c.measures[i] = with_capstan_at(i, c.place[i], &c.why_not[i]);
    });
    add_own(c, lean);
    k.courses.push_back(std::move(c));
  }

  void lines() {
    if (k.wanted.empty()) return;
    const WantedPlaces& w = k.wanted.front();
    Course own = new_course(CourseKind::kOwnPlace, "own_place", "capstan at its own place");
    own.place = w.place;
    run_course(std::move(own));
    Course nearest = new_course(CourseKind::kNearestLine, "nearest_line", "straight line, least squares");
    nearest.place = w.squares.place;
    run_course(std::move(nearest));
    Course worst = new_course(CourseKind::kLeastWorst, "least_worst_line", "straight line, least worst miss");
    worst.place = w.worst.place;
    run_course(std::move(worst));
    if (!w.broken) return;
    Course broken = new_course(CourseKind::kBroken, "broken_line", "line with a break");
    broken.place = w.broken->place;
    run_course(std::move(broken));
  }

  // What leads stand on: the nearest line where it could be run, else as found.
  const Course& standing() const {
    const Course* line = k.find(CourseKind::kNearestLine);
    return line ? *line : k.courses.front();
  }

  double front_weight_wanted(std::size_t i, const Course& on) const {
    const int note = static_cast<int>(i) + 1;
    const CaseDescription& d = notes[i].description;
    if (k.input.wanted_balance_weight.empty()) {
      // The capstan's own move changes the reading on the scale.
      const double shift = notes[i].place - on.place[i];
      return k.input.wanted_front_weight.at(note) +
             d.value("measured.capstan_mass") * base::kGravity * shift / d.value("measured.key_front_length");
    }
    return d.value("measured.front_weight") + on.measures[i][study::kBalanceWeight] -
           k.input.wanted_balance_weight.at(note);
  }

  void plan_leads() {
    if (!k.input.has_leads) return;
    const Course on = standing();  // a copy: more courses are added below
    const SampleColumn* bare = k.input.find("bare_front_weight");
    const auto bare_at = bare ? static_cast<std::size_t>(bare - k.input.columns.data()) : 0;
    k.leads.assign(kNoteCount, NoteLeads{});
    double greatest = 0;
    for (const int note : k.notes) {
      const auto i = static_cast<std::size_t>(note - 1);
      NoteLeads& l = k.leads[i];
      const double front = notes[i].description.value("measured.key_front_length");
      l.wanted_front_weight = front_weight_wanted(i, on);
      l.bare_front_weight = bare ? value_at(*bare, k.carried[bare_at], note).value
                                 : notes[i].description.value("measured.front_weight");
      l.front_weight_limit = k.input.front_weight_limit.at(note);
      const double add = l.wanted_front_weight - l.bare_front_weight;
      l.spring = std::clamp(add, -kStrongestSpring, kStrongestSpring);
      l.spring_over_limit = std::isfinite(l.front_weight_limit)
                                ? std::max(0.0, l.wanted_front_weight - l.front_weight_limit)
                                : 0;
      greatest = std::max(greatest, std::abs(lead_moment_for(add, front)));
    }
    for (std::size_t wish = 0; wish < static_cast<std::size_t>(LeadWish::kCount) && std::isfinite(greatest);
         ++wish)
      for (const bool sharp : {false, true}) {
        LeadRules rules = k.input.rules;
        if (sharp) rules.to = k.input.to_sharp;
        const LeadTable table(rules, static_cast<LeadWish>(wish), greatest);
        for (const int note : k.notes) {
          if (is_sharp(note) != sharp) continue;
          const auto i = static_cast<std::size_t>(note - 1);
          NoteLeads& l = k.leads[i];
          const double add = l.wanted_front_weight - l.bare_front_weight;
          if (std::isfinite(add))
            l.plans[wish] = table.choose(add, notes[i].description.value("measured.key_front_length"));
        }
      }
    run_balanced(on, true);
    run_balanced(on, false);
  }

  void run_balanced(const Course& on, bool with_leads) {
    Course c = with_leads ? new_course(CourseKind::kLeads, "leaded", "leads as chosen")
                          : new_course(CourseKind::kSprings, "sprung", "assist springs, no leads");
    c.place = on.place;
    const bool on_top = k.input.find("bare_front_weight") == nullptr;
    work.run(c.name, k.notes.size(), [&](std::size_t job) {
      const std::size_t i = index(job);
      const NoteLeads& l = k.leads[i];
      if (!notes[i].ready || !std::isfinite(l.wanted_front_weight)) return;
      CaseDescription d = notes[i].description;
      move_capstan(d, notes[i].place - c.place[i]);
      const LeadPlan& plan = l.plans[static_cast<std::size_t>(LeadWish::kFewest)];
      if (!on_top) d.leads.clear();
      if (with_leads)
        for (const auto& lead : plan.leads) d.leads.push_back({lead.mass, lead.distance, 0, 0, {}});
      else if (l.spring != 0)
        fit_spring(d, l.spring, k.input.spring_fade);
      d.quantities.at("measured.front_weight").value =
          l.bare_front_weight + (with_leads ? plan.front_weight : 0);
      c.measures[i] = notes[i].solver.measure(d, 0, {}, &c.why_not[i]);
    });
    add_own(c, lean);
    k.courses.push_back(std::move(c));
  }
};

void study_here(CaseDescription d, const KeyboardOptions& o, Keyboard& k) {
  const auto n = static_cast<int>(k.notes.size());
  int jobs = 4 * n + (k.input.break_after != 0 ? n : 0) + (k.input.has_leads ? 2 * n : 0);
  for (const CapstanWish wish : k.input.wishes)
    if (wish == CapstanWish::kByRegulation || wish == CapstanWish::kByWeight) jobs += n;
  const bool weighed = k.input.find("measured.down_weight") || k.input.find("measured.up_weight");
  if (o.uncertainty && weighed && !o.prior_only) calibrate::add_left_out(d);
  Work work(o.progress, jobs);
  Lean lean;
  lean.values = d;
  lean.own.assign(kNoteCount, {});
  std::optional<Effects> effects;
  if (o.uncertainty) {
    work.expect_more(Effects::jobs(d, k));
    effects = Effects::find(d, k, work);
    if (effects && !work.stopped()) lean = lean_on_samples(d, k, *effects, o.prior_only, work);
    k.leans_on = lean.sentences;
  } else if (weighed) {
    k.leans_on.emplace_back("Without uncertainties nothing is conditioned on the weights of the samples.");
  }
  Study s{lean.values, k, work, lean, std::vector<NoteState>(kNoteCount)};
  s.as_found();
  if (effects && !work.stopped()) {
    Lean unread = lean;
    unread.own.assign(kNoteCount, {});
    k.bands = find_bands(*effects, unread);
    k.checks = check_samples(k);
    k.bands = find_bands(*effects, lean);
  } else {
    k.checks = check_samples(k);
  }
  add_own(k.courses.front(), lean);
  for (const CapstanWish wish : k.input.wishes)
    if (!work.stopped()) s.want(wish);
  if (!work.stopped()) s.lines();
  if (!work.stopped()) s.plan_leads();
  k.complete = !work.stopped();
}

}  // namespace

const Course* Keyboard::find(CourseKind kind) const {
  for (const Course& c : courses)
    if (c.kind == kind) return &c;
  return nullptr;
}

Keyboard study_keyboard(const CaseDescription& d, const KeyboardCase& input, const KeyboardOptions& o) {
  Keyboard k;
  k.input = input;
  k.notes = o.notes;
  if (k.notes.empty())
    for (int note = kFirstNote; note <= kLastNote; ++note) k.notes.push_back(note);
  k.carried = carry_all(input);
  k.warnings = input.warnings;
  if (o.threads <= 0) {
    study_here(d, o, k);
  } else {
    tbb::task_arena arena(o.threads);
    arena.execute([&] { study_here(d, o, k); });
  }
  return k;
}

}  // namespace leverwright::keyboard

#include "models/study/set_up_solver.h"

#include <limits>
#include <numeric>

#include "models/case_file/remedy.h"
#include "models/study/quantities.h"
#include "sim/base/error.h"

namespace leverwright::study {

using case_file::CaseDescription;
using case_file::SetUp;

namespace {

std::string why_not_regulated(const action::Regulated& r) {
  if (r.failures.empty()) return "it cannot be regulated";
  return "cannot be regulated: " + r.failures.front().requirement;
}

}  // namespace

SolveOptions quick_options(const action::ScrewSettings& start) {
  SolveOptions out;
  out.start = start;
  out.whole_stroke = false;
  out.step = kQuickStep;
  return out;
}

Ground find_ground(const CaseDescription& d) {
  if (d.set_ups.empty())
    throw base::UserError("the case has no [[set_up]]", "add at least one; the first is the base");
  Ground out;
  action::ActionDesign design = action::design(d, d.set_ups.front());
  out.base = action::regulate_base(design, {}, design.policy);
  out.level = action::level_of(design);
  return out;
}

void regulate_afresh(SetUpResult& s, const SolveOptions& options) {
  if (options.known) {
    s.regulated = *options.known;
    s.regulated_ok = s.regulated.ok;
    return;
  }
  const std::string& policy = options.policy.empty() ? s.design.policy : options.policy;
  s.regulated = action::regulate(s.design, options.start, policy);
  s.regulated_ok = s.regulated.ok;
}

void set_by_playing(SetUpResult& s, const Tell& tell) {
  if (!s.regulated.ok) return;
  const action::Regulated quiet = s.regulated;
  const action::ActionDesign quiet_design = s.design;
  s.played = action::regulate_by_playing(s.design, s.regulated, [&](double share) {
    if (tell) tell("check and spring", 0.05 + 0.5 * share);
  });
  if (s.regulated.dip_let_off <= 0) {  // the spring that was tried upset the rest: leave it as it was
    s.regulated = quiet;
    s.design = quiet_design;
    s.played.ok = false;
  }
  auto& failures = s.regulated.failures;
  failures.insert(failures.end(), s.played.failures.begin(), s.played.failures.end());
  s.regulated_ok = s.regulated.ok && s.played.ok;
}

void weigh_as_set(SetUpResult& s, const SolveOptions& options) {
  s.action = action::assemble(s.design, s.regulated.screws);
  if (s.regulated.dip_let_off > 0) {
    if (options.tell) options.tell("weighing", 0.55);
    action::WeighOptions weighing;
    weighing.step = options.step;
    weighing.whole_stroke = options.whole_stroke;
    s.weighing = action::weigh(s.action, s.regulated, weighing);
    s.whole_stroke = options.whole_stroke;
    if (options.whole_stroke) s.bench = action::find_bench_notes(s.action, s.regulated, s.weighing);
    s.facts = action::find_path_facts(s.action, s.regulated, s.weighing);
    s.reflected_mass = std::numeric_limits<double>::quiet_NaN();
    if (const auto half = s.weighing.ok ? find_half_stroke(s.action, s.regulated) : std::nullopt) {
      const auto shares = action::find_reflected_mass(s.action, *half);
      s.reflected_mass = std::accumulate(shares.begin(), shares.end(), 0.0);
    }
  } else {
    s.weighing = {};
    s.weighing.failure = "the action could not be regulated";
  }
  s.measures = read_measures(s);
}

SetUpSolver::SetUpSolver(const CaseDescription& d) : ground_(find_ground(d)) {}

void SetUpSolver::require_base(const CaseDescription& d) const {
  const action::Regulated& r = ground_.base;
  if (r.ok) return;
  const auto& at = d.set_ups.front().place;
  throw base::UserError(
      {{at.file, at.line, at.line_text, "the base: " + why_not_regulated(r), "",
        r.failures.empty() ? "look at its measurements with: leverwright read" : r.failures.front().advice}});
}

SetUpResult SetUpSolver::solve(const CaseDescription& d, const SetUp& set_up,
                               const SolveOptions& options) const {
  SetUpResult out;
  out.name = set_up.name;
  out.description = set_up.description;
  out.undone = case_file::undone_class(set_up);
  out.design = action::design(d, set_up);
  action::put_level(ground_.level, out.design);
  if (options.tell) options.tell("regulating", 0);
  regulate_afresh(out, options);
  if (options.by_playing) set_by_playing(out, options.tell);
  weigh_as_set(out, options);
  if (out.weighing.ok && !options.touches.empty())
    out.touches = play_touches(d, out.action, action::build_rest(out.action, out.regulated.rest.q),
                               options.touches, [&](const std::string& touch, double share) {
                                 if (options.tell) options.tell("touch " + touch, 0.6 + 0.4 * share);
                               });
  return out;
}

SetUpResult SetUpSolver::try_solve(const CaseDescription& d, const SetUp& set_up,
                                   const SolveOptions& options) const {
  const auto failed = [&](const std::string& why) {
    SetUpResult out;
    out.name = set_up.name;
    out.description = set_up.description;
    out.undone = case_file::undone_class(set_up);
    out.misfit = why;
    out.measures.fill(std::numeric_limits<double>::quiet_NaN());
    return out;
  };
  try {
    return solve(d, set_up, options);
  } catch (const base::UserError& e) {
    return failed("does not fit together: " + e.problems().front().what);
  } catch (const base::Unstable& e) {
    return failed(std::string("cannot be weighed: ") + e.what());
  }
}

Measures SetUpSolver::measure(const CaseDescription& d, std::size_t set_up,
                              const action::ScrewSettings& start, std::string* why_not) const {
  const SetUpResult s = try_solve(d, d.set_ups[set_up], quick_options(start));
  if (why_not) *why_not = why_not_weighed(s);
  return s.measures;
}

std::string why_not_weighed(const SetUpResult& s) {
  if (!s.misfit.empty()) return "measurements that cannot belong to one action";
  if (s.regulated.dip_let_off <= 0)
    return s.regulated.failures.empty() ? "regulation" : s.regulated.failures.front().requirement;
  if (s.weighing.ok) return "";
  return s.weighing.jam.jammed ? "a contact jams" : "blocked under way, or no stroke to weigh";
}

std::string why_no_answer(const SetUpResult& s) {
  if (!s.misfit.empty()) return s.misfit;
  if (!s.regulated.ok) return why_not_regulated(s.regulated);
  if (s.weighing.jam.jammed) return "jams: " + s.weighing.jam.place;
  return s.weighing.ok ? "" : "cannot be weighed: " + s.weighing.failure;
}

}  // namespace leverwright::study

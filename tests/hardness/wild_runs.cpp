#include "tests/hardness/wild_runs.h"

#include <ctime>

#include "models/case_file/quantity.h"
#include "models/study/compare.h"
#include "sim/base/error.h"
#include "tests/hardness/invariants.h"
#include "tests/hardness/wild_action.h"

namespace leverwright::hardness {

namespace {

// Processor time of this thread: other programs on the machine do not count.
double now() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

// The base regulated at rest and on the slow path, its key levelled, then weighed.
void weigh_base(const case_file::CaseDescription& d, Outcome& out) {
  const study::SetUpSolver solver(d);
  const study::SetUpResult s = solver.solve(d, d.set_ups.front(), {});
  out.evaluations = solver.ground().base.evaluations + s.regulated.evaluations;
  out.broken = broken_rules(s);
  if (!s.weighing.ok) out.refusal = study::why_no_answer(s);
}

// As `play` does it: check and spring set by playing besides, then a touch.
void play_base(const case_file::CaseDescription& d, const std::vector<std::string>& touches, Outcome& out) {
  study::CompareOptions options;
  options.uncertainty = false;
  options.touches = touches;
  options.threads = 1;
  const study::Comparison c = study::compare(d, options);
  const study::SetUpResult& s = c.set_ups.front();
  out.broken = broken_rules(s);
  for (const auto& t : s.touches)
    for (const auto& text : broken_rules(s, t)) out.broken.push_back(t.name + ": " + text);
  if (!s.weighing.ok) out.refusal = study::why_no_answer(s);
}

void compare_all(const case_file::CaseDescription& d, Outcome& out) {
  study::CompareOptions options;
  options.uncertainty = false;
  options.threads = 1;
  const study::Comparison c = study::compare(d, options);
  out.broken = broken_rules(c);
  if (!c.set_ups.front().weighing.ok) out.refusal = study::why_no_answer(c.set_ups.front());
}

std::string first_words(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (out.size() > 60 || c == '"') break;
    if ((c >= '0' && c <= '9') || c == '.' || c == '-') {
      if (out.empty() || out.back() != '#') out += '#';
    } else {
      out += c;
    }
  }
  return out;
}

}  // namespace

Outcome run_one(const case_file::CaseDescription& model, Through through, std::uint64_t seed, int which,
                std::string* kind) {
  std::seed_seq both{seed, static_cast<std::uint64_t>(which)};
  std::mt19937_64 engine(both);
  WildAction a = draw_wild(model, engine);
  if (kind) *kind = name_of(a.kind);
  Outcome out;
  for (const auto& key : a.moved)
    out.moved += key + " = " + case_file::write_quantity(a.description.quantity(key)) + "; ";
  const double start = now();
  try {
    out.refusal = refusal_of_reader(a);
    out.by_reader = !out.refusal.empty();
    if (out.by_reader) {
    } else if (through == Through::kWeigh) {
      weigh_base(a.description, out);
    } else if (through == Through::kPlay) {
      play_base(a.description, {"mf"}, out);
    } else {
      add_wild_set_ups(a.description, 3, engine);
      compare_all(a.description, out);
    }
  } catch (const base::UserError& e) {
    out.refusal = e.problems().empty() ? e.what() : e.problems().front().what;
    if (out.refusal.empty()) out.broken.push_back("refused without a word");
  } catch (const base::Unstable& e) {
    out.refusal = e.what();
  } catch (const std::exception& e) {
    out.broken.push_back(std::string("thrown: ") + e.what());
  }
  out.seconds = now() - start;
  return out;
}

Tally run_many(const case_file::CaseDescription& model, Through through, std::uint64_t seed, int from,
               int count, const std::function<void(int, const std::string&, const Outcome&)>& tell) {
  Tally out;
  const double limit = through == Through::kWeigh  ? kWeighLimit
                       : through == Through::kPlay ? kPlayLimit
                                                   : kCompareLimit;
  for (int k = from; k < from + count; ++k) {
    std::string kind;
    const Outcome o = run_one(model, through, seed, k, &kind);
    ++out.tried;
    out.seconds.push_back(o.seconds);
    if (o.by_reader) ++out.by_reader;
    if (o.refusal.empty()) {
      ++out.answered;
      ++out.kinds[kind];
    } else {
      if (!o.by_reader) ++out.refused;
      ++out.refusals[first_words(o.refusal)];
    }
    if (o.seconds > limit) ++out.late;
    if (!o.broken.empty()) ++out.broken;
    for (const auto& text : o.broken) ++out.breaks[first_words(text)];
    if (tell) tell(k, kind, o);
  }
  return out;
}

}  // namespace leverwright::hardness

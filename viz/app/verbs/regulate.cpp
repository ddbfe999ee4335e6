// regulate: the regulation policies side by side, nothing stored.
#include <fmt/format.h>

#include <algorithm>

#include "models/case_file/schema.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/app/words.h"
#include "viz/table/answer.h"
#include "viz/table/notes.h"
#include "viz/table/policy_table.h"

namespace leverwright::app {

namespace {

using case_file::CaseDescription;

struct Request {
  std::string case_path, policy, set_up;  // policy, set_up "": all
  bool prior_only = false;                // readings as found are compared, not leaned on
};

std::vector<std::string> find_policies(const std::string& wanted) {
  const std::vector<std::string>& known = case_file::schema().find_choice("regulation.policy")->words;
  if (wanted.empty()) return known;
  if (std::find(known.begin(), known.end(), wanted) != known.end()) return {wanted};
  throw unknown_word("", "unknown policy \"" + wanted + "\"", wanted, known, "--policy");
}

// A policy may hold what the case does not give: then what results in the base under the case's own policy is
// held.
std::vector<std::string> borrow_missing(CaseDescription& d, const action::Regulated& base_result) {
  std::vector<std::string> words;
  const std::pair<const char*, double> wanted[] = {
      {"dip", base_result.dip}, {"blow", base_result.blow}, {"aftertouch", base_result.aftertouch}};
  for (const auto& [name, value] : wanted) {
    const std::string key = std::string("regulation.") + name;
    if (d.has(key)) continue;
    case_file::Quantity q;
    q.value = value;
    q.dimension = case_file::Dimension::kLength;
    d.quantities[key] = q;
    words.push_back(fmt::format(
        "The case gives no {}; where a policy keeps it, {:.2f} mm is kept, as it results in the base.", name,
        value * 1e3));
  }
  return words;
}

table::PolicyResult solve_policy(const CaseDescription& d, const case_file::SetUp& set_up,
                                 const std::string& policy, const study::SetUpSolver& solver,
                                 const action::ScrewSettings& base_screws) {
  table::PolicyResult out;
  out.policy = policy;
  study::SolveOptions options;
  options.start = base_screws;
  options.policy = policy;
  const study::SetUpResult s = solver.solve(d, set_up, options);
  out.regulated = s.regulated;
  for (std::size_t k = 0; k < action::kScrewCount; ++k) {
    out.moved[k] = out.regulated.screws[k] - base_screws[k];
    out.pitch[k] = s.design.screws[k].pitch;
  }
  if (out.regulated.dip_let_off <= 0) return out;
  action::FrictionlessPath quiet(s.action);
  if (quiet.rest_found()) out.frictionless = action::find_quiet_let_off(s.action, quiet, out.regulated.dip);
  const action::Weighing& w = s.weighing;
  out.weighed = w.ok;
  out.down_weight = w.down_weight;
  out.up_weight = w.up_weight;
  out.distance_ratio = w.distance_ratio;
  return out;
}

int regulate(const Request& request, VerbRun& run) {
  const auto policies = find_policies(request.policy);
  CaseDescription d = read_conditioned(request.case_path, request.prior_only, run.terminal());
  std::vector<std::size_t> which;
  if (request.set_up.empty())
    for (std::size_t k = 0; k < d.set_ups.size(); ++k) which.push_back(k);
  else
    which.push_back(find_set_up(d, request.set_up));

  study::CompareOptions options;
  options.uncertainty = false;
  const auto own = study::compare(only_set_up(d, 0), options);
  const auto& base_result = own.set_ups.front();
  const auto borrowed = borrow_missing(d, base_result.regulated);

  std::vector<table::PolicySetUp> results;
  std::size_t done = 0;
  for (const std::size_t k : which) {
    table::PolicySetUp s;
    s.name = d.set_ups[k].name;
    for (const auto& p : policies) {
      run.report("policies", s.name,
                 static_cast<double>(done++) / static_cast<double>(which.size() * policies.size()));
      s.results.push_back(solve_policy(d, d.set_ups[k], p, own.solver, base_result.regulated.screws));
    }
    results.push_back(std::move(s));
  }
  table::Document answer =
      table::policies_document(results, base_result.name, d.choice("regulation.policy"), borrowed);
  answer.text([&](const table::Look& look) { return table::write_no_way_back(d, look); });
  answer.text([&](const table::Look& look) { return table::write_notes(d, look); });
  run.write(answer);
  return run.end();
}

}  // namespace

void add_regulate(App& app) {
  Verb& verb = app.add(
      "regulate", "Set the regulation policies side by side: what dip, blow and aftertouch result from each.",
      {"regulate cases/missed_heel/case.toml --set-up \"heel build-up\""});
  Request& r = verb.request(regulate);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add("--policy", "POLICY", "Show only this one, such as \"keep dip and blow\".", &r.policy, "all");
  verb.add_set_up(r.set_up, "all");
  verb.add_all("Show also where each screw goes.");
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app

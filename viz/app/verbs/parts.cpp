// parts: two parts side by side.
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/verb_run.h"
#include "viz/table/notes.h"
#include "viz/table/parts_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, slot, part_a, part_b, by;
  bool repetition = false;
  bool prior_only = false;  // readings as found are compared, not leaned on
};

int parts(const Request& request, VerbRun& run) {
  const auto d = read_conditioned(request.case_path, request.prior_only, run.terminal());
  search::PartsRequest r{request.slot, request.part_a,    request.part_b, study::kBalanceWeight,
                         {},           request.repetition};
  if (!request.by.empty()) r.ranked_by = search::find_trial_number(request.by);
  if (r.ranked_by >= search::kTrialNumberCount) {
    std::string all;
    for (const auto& info : search::kTrialNumbers) all += (all.empty() ? "" : ", ") + std::string(info.key);
    throw base::UserError(
        {base::Problem{"", 0, "", "there is no number \"" + request.by + "\"", "one of " + all, ""}});
  }
  run.open();
  r.progress = run.reporter("parts", "one dimension after the other");
  const auto c = search::compare_parts(d, r);
  table::Document answer = table::parts_document(c);
  answer.text([&](const table::Look& look) { return table::write_notes(d, look); });
  run.write(answer);
  return run.end(c.whole ? "" : "not every difference was tried.");
}

}  // namespace

void add_parts(App& app) {
  Verb& verb =
      app.add("parts", "Set two parts side by side: what each difference does alone, and all together.",
              {"parts cases/two_wippens/case.toml wippen wippen_twin_light wippen_twin_heavy",
               "parts my_piano.toml hammer old_hammer.toml new_hammer.toml --by reflected_mass"});
  Request& r = verb.request(parts);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add("SLOT", "SLOT", "Which part: key, capstan, wippen, hammer or frame.", &r.slot).needed();
  verb.add("A", "A", "A part file's name, the path of one (.toml), or a set-up of the case.", &r.part_a)
      .needed();
  verb.add("B", "B", "The other one.", &r.part_b).needed();
  verb.add_flag("--repetition",
                "Also play rows of strokes with each: rates, least return, jack reset (one to two minutes).",
                &r.repetition);
  verb.add("--by", "NUMBER", "Rank the differences by this number.", &r.by, "balance_weight");
  verb.add_csv();
  verb.add_json();
}

}  // namespace leverwright::app

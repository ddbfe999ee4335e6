// feel: what the finger meets, set-up by set-up.
#include "models/playing/feel.h"

#include <fmt/format.h>

#include "models/study/friction_first.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/chart/draw_chart.h"
#include "viz/table/answer.h"
#include "viz/table/feel_table.h"
#include "viz/table/notes.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;  // set_up "": all
  bool prior_only = false;        // readings as found are compared, not leaned on
};

chart::Chart build_chart(const playing::Feel& f) {
  chart::Chart c;
  c.title = f.set_up + ": force of the finger for given key motions";
  c.remark =
      "the key led down by the dip along a smooth ramp in the time named; below zero the key runs ahead of a "
      "finger "
      "that only pushes";
  c.height_mm = 115;
  chart::Panel p;
  p.x.label = "dip at the playing point";
  p.x.unit = "mm";
  p.y.label = "force";
  p.y.unit = "N";
  const auto add = [&](const std::string& name, const std::vector<double>& dip,
                       const std::vector<double>& force, int style) {
    chart::Series s;
    s.name = name;
    for (std::size_t k = 0; k < dip.size(); ++k) {
      s.x.push_back(dip[k] * 1e3);
      s.y.push_back(force[k]);
    }
    s.role = style < 0 ? scene::Role::kFaintInk : scene::set_up_role(style);
    s.dashes = style < 0 ? std::vector<double>{} : scene::set_up_dash(style);
    p.series.push_back(std::move(s));
  };
  if (!f.motions.empty()) add("slow", f.motions.front().dip, f.motions.front().slow, -1);
  for (std::size_t k = 0; k < f.motions.size(); ++k)
    add(fmt::format("{:.0f} ms, hammer {:.1f} m/s", f.motions[k].down_time * 1e3, f.motions[k].hammer_speed),
        f.motions[k].dip, f.motions[k].force, static_cast<int>(k));
  c.panels.push_back(std::move(p));
  return c;
}

int feel(const Request& request, VerbRun& run) {
  case_file::CaseDescription d = read_conditioned(request.case_path, request.prior_only, run.terminal());
  d = request.set_up.empty() ? study::with_friction_first(d) : only_set_up(d, find_set_up(d, request.set_up));
  run.open();
  const study::Comparison c = regulate_set_ups(d, run, true);
  std::vector<playing::Feel> results;
  std::size_t done = 0;
  for (; done < c.set_ups.size() && !run.stop_asked(); ++done) {
    if (!c.set_ups[done].weighing.ok) {
      run.say("\"" + c.set_ups[done].name + "\" cannot be weighed and was left out.");
      continue;
    }
    playing::FeelOptions options;
    options.progress = [&](double share) {
      return run.report("feel", "feel of " + c.set_ups[done].name,
                        (static_cast<double>(done) + share) / static_cast<double>(c.set_ups.size()));
    };
    playing::Feel f = playing::find_feel(d, c.set_ups[done], options);
    if (run.stop_asked() && f.played.size() < options.touches.size()) break;
    results.push_back(std::move(f));
  }
  const bool stopped = done < d.set_ups.size();
  if (results.empty()) {
    if (stopped) return run.end_with_nothing("the first set-up was finished");
    throw without_any_use(request.case_path);
  }
  table::Document answer = table::feel_document(d.path, results, stopped ? "stopped" : "complete");
  table::add_answer(answer, c, request.set_up.empty());
  answer.text([&](const table::Look& look) { return table::write_no_way_back(d, look); });
  answer.text([&](const table::Look& look) { return table::write_notes(d, look); });
  run.write(answer);
  for (std::size_t k = 0; k < results.size(); ++k)
    run.draw(
        [&] { return chart::draw_chart(build_chart(results[k]), run.file(fmt::format("feel_{:02}", k))); });
  return run.end(stopped ? fmt::format("after {} of {} set-ups.", done, d.set_ups.size()) : "");
}

}  // namespace

void add_feel(App& app) {
  Verb& verb = app.add("feel",
                       "Find what the finger meets: reflected mass, let-off, force for given key motions, "
                       "friction while playing.",
                       {"feel cases/missed_heel/case.toml --set-up \"capstan relocated\" --out out/feel"});
  Request& r = verb.request(feel);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add("--set-up", "NAME", "Take the base and the set-up of this name.", &r.set_up, "all");
  verb.add_all("Show also the force for given key motions, and friction while playing.");
  verb.add_out("Draw the charts into FOLDER.", "none");
  verb.add_pictures("Leave out the charts.");
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app

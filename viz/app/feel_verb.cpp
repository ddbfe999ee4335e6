// feel: what the finger meets, set-up by set-up.
#include "viz/app/feel_verb.h"

#include <fmt/format.h>

#include <optional>

#include "models/case/read_case.h"
#include "models/study/feel.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/feel_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/chart/draw_chart.h"
#endif

namespace leverwright::app {

namespace {

#ifdef LEVERWRIGHT_HAS_PICTURES
chart::Chart build_chart(const study::Feel& f) {
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
#endif

}  // namespace

int run_feel(const FeelRequest& request, const Terminal& terminal) {
  check_number_files(request.json, request.csv, request.out);
  case_file::CaseDescription d = case_file::read_case(request.case_path);
  if (!request.set_up.empty()) d = only_set_up(d, find_set_up(d, request.set_up));
  std::optional<OutputFolder> folder;
  if (!request.out.empty()) check_drawing_tools();
  if (!request.out.empty()) folder.emplace(request.out);
  catch_interrupts();

  Progress progress(terminal);
  const study::Comparison c = regulate_set_ups(d, progress);
  std::vector<study::Feel> results;
  std::size_t done = 0;
  for (; done < c.set_ups.size() && !interrupted(); ++done) {
    if (!c.set_ups[done].weighing.ok) {
      say(terminal, "\"" + c.set_ups[done].name + "\" cannot be weighed and was left out.");
      continue;
    }
    study::FeelOptions options;
    options.progress = [&](double share) {
      progress.report("feel", "feel of " + c.set_ups[done].name,
                      (static_cast<double>(done) + share) / static_cast<double>(c.set_ups.size()));
      return !interrupted();
    };
    study::Feel f = study::find_feel(d, c.set_ups[done], options);
    if (interrupted() && f.played.size() < options.touches.size()) break;
    results.push_back(std::move(f));
  }
  progress.clear();
  const bool stopped = done < d.set_ups.size();
  if (results.empty()) {
    if (stopped) {
      say(terminal, "Stopped before the first set-up was finished: nothing is written.");
      return kStopped;
    }
    throw base::UserError("no set-up of this case can be played",
                          "see: leverwright regulate " + request.case_path);
  }
  std::vector<std::string> written;
  if (!request.json.empty())
    write_text_file(request.json, table::write_feel_json(d.path, results, stopped ? "stopped" : "complete"));
  if (!request.csv.empty()) write_text_file(request.csv, table::write_feel_csv(results));
  if (request.json != "-" && request.csv != "-" && !terminal.quiet)
    write_result(table::write_feel(results, terminal.look));
  for (const auto& text : {request.json, request.csv})
    if (!text.empty() && text != "-") written.push_back(text);
  if (folder) {
#ifdef LEVERWRIGHT_HAS_PICTURES
    for (std::size_t k = 0; k < results.size(); ++k) {
      const auto files =
          chart::draw_chart(build_chart(results[k]), folder->file(fmt::format("feel_{:02}", k)));
      written.insert(written.end(), files.begin(), files.end());
    }
#else
    say(terminal, "This program was built without pictures: no chart is drawn.");
#endif
  }
  if (!written.empty()) say_written(written, terminal);
  if (stopped) say(terminal, fmt::format("Stopped after {} of {} set-ups.", done, d.set_ups.size()));
  return stopped ? kStopped : kDone;
}

}  // namespace leverwright::app

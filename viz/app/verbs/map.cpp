// map: numbers all over the amounts of a search.
#include <fmt/format.h>

#include "models/search/seek.h"
#include "models/search/write_map.h"
#include "viz/app/conditioned.h"
#include "viz/app/searches.h"
#include "viz/app/verb_run.h"
#include "viz/figures/map_figure.h"
#include "viz/table/seek_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, name;  // name "": all
  int steps = 0;                // along each amount; 0: usual
};

int map(const Request& r, VerbRun& run) {
  const auto d = read_conditioned(r.case_path, false, run.terminal());
  const auto wanted = find_searches(d, r.name);
  run.open("out/" + case_name(r.case_path));
  std::vector<std::string> files;
  for (const auto& one : wanted) files.push_back(run.file("map_" + file_word(one.name) + "_points.csv"));
  check_new_files(files);
  std::vector<search::AmountMap> maps;
  bool whole = true;
  for (const auto& one : wanted) {
    if (run.stop_asked()) {
      whole = false;
      break;
    }
    search::SeekOptions options;
    options.progress = run.reporter(one.name, fmt::format("map of \"{}\"", one.name));
    const int usual = one.vary.size() == 1 ? 41 : 17;
    const std::vector<int> steps(one.vary.size(), r.steps > 0 ? r.steps : usual);
    maps.push_back(search::map_amounts(d, one, steps, options));
    const search::AmountMap& map = maps.back();
    run.clear_progress();
    whole = whole && map.whole;
    const std::string stem = run.file("map_" + file_word(one.name));
    write_text_file(stem + "_points.csv", table::write_map_csv(map));
    search::write_map(d, map, stem + ".h5");
    run.keep({stem + "_points.csv", stem + ".h5"});
    run.draw([&] { return figures::draw_map(stem + ".h5", stem); });
  }
  run.write(table::map_document(maps));
  return run.end(whole ? "" : "what was computed is kept.");
}

}  // namespace

void add_map(App& app) {
  Verb& verb = app.add("map", "Compute numbers all over the amounts of a [[seek]], as data and picture.",
                       {"map cases/sought_heel/case.toml \"least slide friction\" --steps 21"});
  Request& r = verb.request(map);
  verb.add_case(r.case_path);
  verb.add("NAME", "NAME", "Which [[seek]] of the case.", &r.name, "all");
  verb.add_out("Write data and pictures into FOLDER.", "out/NAME OF THE CASE");
  verb.add("--steps", "N", "Take N values of each amount.", &r.steps, "17, or 41 of a single one")
      .between(2, 201);
  verb.add_pictures();
}

}  // namespace leverwright::app

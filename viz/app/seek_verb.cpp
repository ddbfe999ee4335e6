// seek and map: amounts that meet a target, and numbers all over two amounts.
#include <fmt/format.h>

#include "models/case/nearest.h"
#include "models/case/read_case.h"
#include "models/study/read_seek.h"
#include "models/study/write_map.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/seek_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/map_figure.h"
#endif

namespace leverwright::app {

namespace {

// The one of this name, or all.
std::vector<study::Seek> pick(const case_file::CaseDescription& d, const std::string& name) {
  std::vector<study::Seek> all = study::read_seeks(d);
  if (all.empty())
    throw base::UserError({base::Problem{d.path, 0, "", "this case seeks nothing", "[[seek]] sections",
                                         "see models/handbook/seek.md"}});
  if (name.empty()) return all;
  std::vector<std::string> names;
  for (auto& one : all) {
    if (one.name == name) return {one};
    names.push_back(one.name);
  }
  std::string list;
  for (const auto& n : names) list += (list.empty() ? "\"" : ", \"") + n + "\"";
  const std::string near = case_file::nearest_word(name, names);
  throw base::UserError(
      {base::Problem{d.path, 0, "", "there is no search \"" + name + "\" in this case", "one of " + list,
                     near.empty() ? "" : "did you mean \"" + near + "\"?"}});
}

}  // namespace

int run_seek(const SeekOrder& order, const Terminal& terminal) {
  const auto d = read_conditioned(order.case_path, order.prior_only, terminal);
  const auto wanted = pick(d, order.name);
  check_number_files(order.json, order.csv);
  catch_interrupts();
  std::vector<study::SeekResult> results;
  bool whole = true;
  for (const auto& one : wanted) {
    if (interrupted()) {
      whole = false;
      break;
    }
    Progress progress(terminal);
    study::SeekOptions options;
    options.progress = [&](double share) {
      progress.report(one.name, one.name, share);
      return !interrupted();
    };
    results.push_back(study::seek(d, one, options));
    progress.clear();
    whole = whole && results.back().whole;
    if (order.csv != "-" && order.json != "-")
      write_result((results.size() > 1 ? "\n" : "") + table::write_seek(d, results.back(), terminal.look));
  }
  std::vector<std::string> written;
  if (!order.csv.empty()) write_text_file(order.csv, table::write_seeks_csv(results));
  if (!order.json.empty()) write_text_file(order.json, table::write_seeks_json(d, results));
  for (const auto& path : {order.csv, order.json})
    if (!path.empty() && path != "-") written.push_back(path);
  if (!written.empty()) say_written(written, terminal);
  return whole ? kDone : kStopped;
}

int run_map(const SeekOrder& order, const Terminal& terminal) {
  const auto d = read_conditioned(order.case_path, order.prior_only, terminal);
  const auto wanted = pick(d, order.name);
  if (order.pictures) check_drawing_tools();
  const OutputFolder folder(order.out.empty() ? "out/" + case_name(order.case_path) : order.out);
  std::vector<std::string> files;
  for (const auto& one : wanted) files.push_back(folder.file("map_" + file_word(one.name) + "_points.csv"));
  check_new_files(files);
  catch_interrupts();
  std::vector<std::string> written;
  bool whole = true;
  for (const auto& one : wanted) {
    if (interrupted()) {
      whole = false;
      break;
    }
    Progress progress(terminal);
    study::SeekOptions options;
    options.progress = [&](double share) {
      progress.report(one.name, fmt::format("map of \"{}\"", one.name), share);
      return !interrupted();
    };
    const std::vector<int> steps(one.vary.size(), order.steps > 0        ? order.steps
                                                  : one.vary.size() == 1 ? 41
                                                                         : 17);
    const auto map = study::map_amounts(d, one, steps, options);
    progress.clear();
    whole = whole && map.whole;
    write_result(table::write_map(map, terminal.look));
    const std::string stem = folder.file("map_" + file_word(one.name));
    write_text_file(stem + "_points.csv", table::write_map_csv(map));
    study::write_map(d, map, stem + ".h5");
    written.push_back(stem + "_points.csv");
    written.push_back(stem + ".h5");
#ifdef LEVERWRIGHT_HAS_PICTURES
    if (order.pictures)
      for (const auto& path : figures::draw_map(stem + ".h5", stem)) written.push_back(path);
#endif
  }
  say_written(written, terminal);
  if (!whole) say(terminal, "Stopped: what was computed is kept.");
  return whole ? kDone : kStopped;
}

}  // namespace leverwright::app

// misadjust: what each regulation setting does when it is a little off.
#include "viz/app/misadjust_verb.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "models/case/read_case.h"
#include "models/study/write_misadjust.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/misadjust_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/study_charts.h"
#endif

namespace leverwright::app {

int run_misadjust(const MisadjustRequest& request, const Terminal& terminal) {
  check_number_files(request.json, request.csv, request.out);
  study::MisadjustOptions options;
  options.repetition = request.repetition;
  if (!request.amounts.empty()) {
    options.amounts.clear();
    for (const double mm : request.amounts) {
      if (!(mm > 0 && mm <= 2))
        throw base::UserError({base::Problem{"", 0, "", fmt::format("--amount {:g}", mm),
                                             "a length from 0 to 2 mm; each is tried both ways",
                                             "leverwright misadjust --help"}});
      options.amounts.push_back(mm * 1e-3);
    }
    std::sort(options.amounts.begin(), options.amounts.end());
    options.amounts.erase(std::unique(options.amounts.begin(), options.amounts.end()), options.amounts.end());
  }
  const case_file::CaseDescription whole = case_file::read_case(request.case_path);
  const case_file::CaseDescription d = only_set_up(whole, find_set_up(whole, request.set_up));
  const std::string name = case_name(request.case_path);
  std::optional<OutputFolder> folder;
  if (!request.out.empty() && request.pictures) check_drawing_tools();
  if (!request.out.empty()) folder.emplace(request.out);
  catch_interrupts();

  Progress progress(terminal);
  const study::Comparison c = regulate_set_ups(d, progress);
  if (interrupted() || c.set_ups.size() < d.set_ups.size()) {
    progress.clear();
    say(terminal, "Stopped before anything was finished: no file is left.");
    return kStopped;
  }
  const study::SetUpResult& s = c.set_ups.back();
  if (!s.weighing.ok)
    throw base::UserError("\"" + s.name + "\" cannot be weighed. " + s.verdict,
                          "see: leverwright regulate " + request.case_path);
  bool begun = false;  // the touches are found: now row after row is finished
  options.progress = [&](double share) {
    progress.report(begun ? "misadjustment" : "touches", (begun ? "settings of " : "touches of ") + s.name,
                    share);
    begun = true;
    return !interrupted();
  };
  const study::Misadjustment result = study::find_misadjustment(d, s, options);
  progress.clear();
  if (result.rows.empty()) {
    say(terminal, "Stopped before anything was finished: no file is left.");
    return kStopped;
  }
  const std::string reason =
      fmt::format("interrupted by the user after {} of {} rows; not tried: {}", result.rows.size(),
                  result.rows.size() + result.missing.size(), study::missing_words(result));
  std::vector<std::string> written;
  if (folder) {
    const std::string path = folder->file(name + "_misadjustment.h5");
    study::StudyFile file(d, path);
    for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
      file.add(c.set_ups[k]);
      if (k + 1 == c.set_ups.size())
        study::write_misadjustment(file.writer(), fmt::format("/set_ups/{:02}", k), result);
    }
    if (result.complete)
      file.finish(c.warnings);
    else
      file.stop(reason);
    written.push_back(path);
#ifdef LEVERWRIGHT_HAS_PICTURES
    if (request.pictures && !interrupted()) {
      const auto pictures = figures::draw_misadjustment(path, folder->path());
      written.insert(written.end(), pictures.begin(), pictures.end());
    }
#endif
  }
  if (!request.json.empty()) write_text_file(request.json, table::write_misadjustment_json(d.path, result));
  if (!request.csv.empty()) write_text_file(request.csv, table::write_misadjustment_csv(result));
  if (request.json != "-" && request.csv != "-" && !terminal.quiet)
    write_result(table::write_misadjustment(result, request.all, terminal.look));
  for (const auto& text : {request.json, request.csv})
    if (!text.empty() && text != "-") written.push_back(text);
  if (!written.empty()) say_written(written, terminal);
  if (!result.complete) say(terminal, "Stopped: " + reason + ". What is finished is kept.");
  return result.complete ? kDone : kStopped;
}

}  // namespace leverwright::app

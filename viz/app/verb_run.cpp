#include "viz/app/verb_run.h"

#include <fmt/format.h>

#include <filesystem>
#include <utility>

#include "viz/app/has_pictures.h"
#include "viz/app/interrupt.h"
#include "viz/chart/draw_chart.h"
#include "viz/table/document.h"

namespace leverwright::app {

namespace {

bool is_file(const std::string& name) { return !name.empty() && name != "-"; }

// "out/x/x.h5 and 23 files beside it; numbers.csv"
std::string name_files(const std::vector<std::string>& files) {
  std::vector<std::pair<std::string, std::vector<std::string>>> folders;
  for (const auto& f : files) {
    const std::string folder = std::filesystem::path(f).parent_path().string();
    auto at = folders.begin();
    while (at != folders.end() && at->first != folder) ++at;
    if (at == folders.end()) at = folders.insert(at, {folder, {}});
    at->second.push_back(f);
  }
  std::string out;
  for (const auto& [folder, names] : folders) {
    if (!out.empty()) out += "; ";
    if (names.size() <= 3)
      out += fmt::format("{}", fmt::join(names, ", "));
    else
      out += fmt::format("{} and {} files beside it", names.front(), names.size() - 1);
  }
  return out;
}

}  // namespace

VerbRun::VerbRun(const Terminal& terminal, const Outputs& outputs)
    : terminal_(terminal), outputs_(outputs), progress_(terminal) {
  check_number_files(outputs_.json, outputs_.csv);
}

void VerbRun::open(const std::string& otherwise) {
  const std::string path = outputs_.out.empty() ? otherwise : outputs_.out;
  const bool draws = outputs_.charts && outputs_.pictures && !path.empty();
  if (draws && has_pictures()) chart::need_tools();
  if (!path.empty()) folder_.emplace(path);
  check_writable(outputs_.json);
  check_writable(outputs_.csv);
  if (draws && !has_pictures()) say("This program was built without pictures: none is drawn.");
  catch_interrupts();
}

bool VerbRun::wants_pictures() const {
  return has_folder() && outputs_.pictures && has_pictures() && !stop_asked();
}

bool VerbRun::report(const std::string& work, const std::string& doing, double share) {
  progress_.report(work, doing, share);
  return !stop_asked();
}

std::function<bool(double)> VerbRun::reporter(const std::string& work, const std::string& doing) {
  return [this, work, doing](double share) { return report(work, doing, share); };
}

bool VerbRun::stop_asked() const { return interrupted(); }

bool VerbRun::wants_table() const {
  if (outputs_.json == "-" || outputs_.csv == "-") return false;
  return !terminal_.quiet || !(has_folder() || is_file(outputs_.json) || is_file(outputs_.csv));
}

void VerbRun::write(const Text& table, const Text& json, const Text& csv) {
  progress_.clear();
  if (json && !outputs_.json.empty()) write_text_file(outputs_.json, json());
  if (csv && !outputs_.csv.empty()) write_text_file(outputs_.csv, csv());
  if (table && wants_table()) write_result(table());
  if (json && is_file(outputs_.json)) keep(outputs_.json);
  if (csv && is_file(outputs_.csv)) keep(outputs_.csv);
}

void VerbRun::write(const table::Document& document) {
  write([&] { return table::write_terminal(document, look(), outputs_.all); },
        [&] { return table::write_json(document); }, [&] { return table::write_csv(document); });
}

void VerbRun::keep(const std::vector<std::string>& files) {
  written_.insert(written_.end(), files.begin(), files.end());
}

void VerbRun::draw(const std::function<std::vector<std::string>()>& picture) {
  if (wants_pictures()) keep(picture());
}

void VerbRun::say_written() {
  if (!written_.empty()) say("Written: " + name_files(written_));
  written_.clear();
}

int VerbRun::end(const std::string& reason) {
  progress_.clear();
  say_written();
  if (!reason.empty()) say("Stopped: " + reason);
  return reason.empty() ? kDone : kStopped;
}

int VerbRun::end_with_nothing(const std::string& before) {
  progress_.clear();
  say("Stopped before " + before + ": no file is left.");
  return kStopped;
}

}  // namespace leverwright::app

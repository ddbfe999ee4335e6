// One run of a verb, from the case read to the files named: the order in which things are checked, made,
// written and said is the same for all of them.
//
//   1. The verb reads what it was given; what is wrong there leaves nothing behind.
//   2. open(): the tools for charts are there; the folder is made; --json and --csv can be written (a name
//      inside the new folder as well); from here on Ctrl-C asks the work to stop.
//   3. report() while it works: progress, and whether to go on.
//   4. write(): terminal, JSON, CSV; keep(), draw(): results files, pictures.
//   5. end(): one line with the files written, the reason when it was stopped, the exit code.
//
// A user error on the way takes away the folders made, as long as they are empty.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/terminal.h"
#include "viz/app/verb.h"

namespace leverwright::table {
class Document;
}

namespace leverwright::app {

class VerbRun {
 public:
  using Text = std::function<std::string()>;

  // UserError when both files of numbers would be one, or both go to standard output.
  VerbRun(const Terminal& terminal, const Outputs& outputs);

  const Terminal& terminal() const { return terminal_; }
  const table::Look& look() const { return terminal_.look; }
  const Outputs& outputs() const { return outputs_; }

  // `otherwise`: the folder when none is named; "": then there is none. UserError before any work.
  void open(const std::string& otherwise = "");
  bool has_folder() const { return folder_.has_value(); }
  const std::string& folder() const { return folder_->path(); }
  std::string file(const std::string& name) const { return folder_->file(name); }
  // They are wanted, there is a folder for them, and nobody asked to stop.
  bool wants_pictures() const;

  // `share` of this piece of work, 0 to 1. False: stop.
  bool report(const std::string& work, const std::string& doing, double share);
  std::function<bool(double share)> reporter(const std::string& work, const std::string& doing);
  void clear_progress() { progress_.clear(); }
  Progress& progress() { return progress_; }
  bool stop_asked() const;

  // Each is asked for only when it is wanted. The table is left out where standard output holds numbers, and
  // when --quiet is given and a file holds the answer.
  void write(const Text& table, const Text& json = {}, const Text& csv = {});
  // The document to the terminal, its details with --all; to --json and --csv where the verb has them.
  void write(const table::Document& document);
  void say(const std::string& text) { app::say(terminal_, text); }

  void keep(const std::string& file) { written_.push_back(file); }
  void keep(const std::vector<std::string>& files);
  // What `picture` names is kept; it is not called when no pictures are wanted.
  void draw(const std::function<std::vector<std::string>()>& picture);
  // Names the files so far, before an error about the rest is told.
  void say_written();

  // `reason`: why it is not whole; "" when it is.
  int end(const std::string& reason = "");
  // Stopped before there was anything to keep.
  int end_with_nothing(const std::string& before = "anything was finished");

 private:
  bool wants_table() const;
  const Terminal& terminal_;
  Outputs outputs_;
  std::optional<OutputFolder> folder_;
  Progress progress_;
  std::vector<std::string> written_;
};

}  // namespace leverwright::app

#include "viz/app/output.h"

#include <filesystem>
#include <system_error>

#include "sim/base/error.h"
#include "viz/app/terminal.h"
#include "viz/scene/output_file.h"

namespace leverwright::app {

namespace fs = std::filesystem;

OutputFolder::OutputFolder(const std::string& path) : path_(path) {
  while (path_.size() > 1 && path_.back() == '/') path_.pop_back();
  if (path_.empty())
    throw base::UserError("the name of the output folder is empty", "give one: --out FOLDER");
  fs::path so_far;
  for (const fs::path& part : fs::path(path_)) {
    so_far /= part;
    std::error_code error;
    if (fs::is_directory(so_far, error)) continue;
    if (fs::exists(so_far, error))
      throw base::UserError({base::Problem{so_far.string(), 0, "", "this is a file, not a folder",
                                           "a folder for the results", "give another name with --out"}});
    if (!fs::create_directory(so_far, error)) {
      const std::string why = error.message();
      for (auto made = made_.rbegin(); made != made_.rend(); ++made) fs::remove(*made, error);
      throw base::UserError({base::Problem{so_far.string(), 0, "", "the folder cannot be made: " + why, "",
                                           "give a folder you may write to with --out"}});
    }
    made_.push_back(so_far.string());
  }
}

OutputFolder::~OutputFolder() {
  for (auto made = made_.rbegin(); made != made_.rend(); ++made) {
    std::error_code error;
    if (!fs::is_empty(*made, error) || error || !fs::remove(*made, error)) return;
  }
}

void write_text_file(const std::string& path, const std::string& text) {
  if (path == "-") return write_result(text);
  scene::OutputFile file(path);
  file.write(text);
  file.keep();
}

void check_writable(const std::string& path) {
  if (path.empty() || path == "-") return;
  const scene::OutputFile probe(path);  // makes its temporary file and takes it away again
}

void check_number_files(const std::string& json, const std::string& csv) {
  if (json == "-" && csv == "-")
    throw base::UserError("--json - and --csv - cannot both go to standard output",
                          "give one of them a file name");
  check_writable(json);
  check_writable(csv);
}

std::string case_name(const std::string& case_path) {
  const fs::path path = fs::weakly_canonical(case_path);
  if (path.stem() == "case" && path.has_parent_path() && !path.parent_path().filename().empty())
    return path.parent_path().filename().string();
  return path.stem().string();
}

}  // namespace leverwright::app

// Files and folders a verb leaves: made when needed, and taken away again when the verb ends in a user error.
#pragma once
#include <string>
#include <vector>

namespace leverwright::app {

class OutputFolder {
 public:
  // Makes the folder and those above it. UserError when that cannot be.
  explicit OutputFolder(const std::string& path);
  // Removes the folders it made, as long as they are empty and no other run is at work in the last of them.
  ~OutputFolder();
  OutputFolder(const OutputFolder&) = delete;
  OutputFolder& operator=(const OutputFolder&) = delete;
  const std::string& path() const { return path_; }
  std::string file(const std::string& name) const { return path_ + "/" + name; }

 private:
  bool make();
  bool hold();
  std::string path_;
  std::vector<std::string> made_;  // outermost first
  int folder_ = -1;                // open, with a lock that others may have too
};

// Whole text at once, under a temporary name first. "-" is standard output.
void write_text_file(const std::string& path, const std::string& text);

// The same into a file that may be there already and is replaced; UserError that names `what` when it cannot be, and the
// file is as it was.
void replace_text_file(const std::string& path, const std::string& text, const std::string& what);
// The same, only while the file holds `before`: of two runs that would at the same moment one is told so.
void replace_unchanged(const std::string& path, const std::string& before, const std::string& text,
                       const std::string& what);

// UserError when no file can be written there; found out before long work begins. "" and "-" are fine.
void check_writable(const std::string& path);

// --json and --csv name two files, and not both standard output. UserError else.
void check_number_files(const std::string& json, const std::string& csv);

// A note's or set-up's name as part of a file's name; names that differ give words that differ. "heel
// build-up" -> "heel_build-up", "C#4" -> "Csharp4"; where characters had to be left out a number made of the
// name follows.
std::string file_word(const std::string& name);

// Before any work: each can be written, and no two are one. UserError else.
void check_new_files(const std::vector<std::string>& paths);

// "cases/missed_heel/case.toml" -> "missed_heel"; "my piano.toml" -> "my piano".
std::string case_name(const std::string& case_path);

}  // namespace leverwright::app

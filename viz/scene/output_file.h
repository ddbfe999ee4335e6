// Pictures are written under a temporary name and renamed when complete, so that a failure never leaves a
// partial file behind. What stands there already is replaced as sim/base/output_guard.h allows. Temporary
// files that killed runs left in the folder are taken away.
#pragma once
#include <string>

namespace leverwright::scene {

class OutputFile {
 public:
  // UserError when the folder is missing, nothing can be written there or the file there must not be
  // replaced.
  explicit OutputFile(const std::string& path);
  ~OutputFile();  // removes the temporary file unless it was kept
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  const std::string& part_path() const { return part_path_; }  // write here; same extension as the target
  void keep();                                                 // rename to the final name
  void write(const std::string& text);                         // whole contents at once

 private:
  std::string path_, part_path_;
  bool kept_ = false, is_text_ = false;
  int lock_ = -1;  // on the temporary file
};

// A file without a name in TMPDIR, open for reading and writing (closed on exec); it is gone when it is
// closed, however this program ends. UserError when there is no room for one.
int unnamed_file();
// All of it, from the beginning.
std::string read_back(int file);

// Path of the DejaVu Sans file used by every back end; UserError when it is not installed. The folder in the
// environment variable LEVERWRIGHT_FONTS, when set, is the only one searched.
std::string find_font(bool bold);

}  // namespace leverwright::scene

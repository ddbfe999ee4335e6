// Pictures are written under a temporary name and renamed when complete, so that a failure never leaves a
// partial file behind. What stands there already is replaced as sim/base/output_guard.h allows. Temporary
// files that killed runs left in the folder are taken away.
#pragma once
#include <string>

#include "sim/base/part_lock.h"

namespace leverwright::scene {

class OutputFile {
 public:
  // kOwn: the verb's own file, which it may have read and goes on with. It is replaced unasked and keeps its permissions.
  enum class Place { kGuarded, kOwn };
  // UserError when the folder is missing, nothing can be written there, another run is writing the same file at the
  // moment under the same number (in another container) or the file there must not be replaced.
  explicit OutputFile(const std::string& path, Place place = Place::kGuarded);
  ~OutputFile();  // removes the temporary file unless it was kept
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  const std::string& part_path() const { return part_path_; }  // write here; same extension as the target
  void keep();                                                 // rename to the final name
  void write(const std::string& text);                         // whole contents at once

 private:
  std::string path_, part_path_;
  Place place_;
  bool kept_ = false, is_text_ = false;
  base::PartLock lock_;  // on the temporary file: it is not stale
};

// Takes away the temporary files of runs that were killed: their run is gone and nobody holds their lock. The first
// OutputFile in a folder does it; once more after work with a program that may have outlived a killed run.
void remove_stale_files(const std::string& folder);

// A file without a name in TMPDIR, open for reading and writing (closed on exec); it is gone when it is
// closed, however this program ends. UserError when there is no room for one.
int unnamed_file();
// All of it, from the beginning.
std::string read_back(int file);

// Path of the DejaVu Sans file used by every back end; UserError when it is not installed. The folder in the
// environment variable LEVERWRIGHT_FONTS, when set, is the only one searched.
std::string find_font(bool bold);

}  // namespace leverwright::scene

// Pictures are written under a temporary name and renamed when complete, so that a failure never leaves a
// partial file behind.
#pragma once
#include <string>

namespace leverwright::scene {

class OutputFile {
 public:
  // UserError when the folder is missing or nothing can be written there.
  explicit OutputFile(const std::string& path);
  ~OutputFile();  // removes the temporary file unless it was kept
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;

  const std::string& part_path() const { return part_path_; }  // write here; same extension as the target
  void keep();                                                 // rename to the final name
  void write(const std::string& text);                         // whole contents at once

 private:
  std::string path_, part_path_;
  bool kept_ = false;
};

// Path of the DejaVu Sans file used by every back end; UserError when it is not installed. The folder in the
// environment variable LEVERWRIGHT_FONTS, when set, is the only one searched.
std::string find_font(bool bold);

}  // namespace leverwright::scene

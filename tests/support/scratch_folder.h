// A folder of its own for the files of one test, gone with it. Tests run side by side, each in a process of
// its own: a name two of them share would be one file to both.
#pragma once
#include <stdlib.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace leverwright::support {

class ScratchFolder {
 public:
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "leverwright-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test: " + name);
    folder_ = name;
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;

  std::string path() const { return folder_.string(); }
  std::string path(const std::string& name) const { return (folder_ / name).string(); }
  // Writes a file, byte by byte, and says where it is.
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream out(path(name), std::ios::binary);
    out << text;
    if (!out.flush()) throw std::runtime_error("cannot write " + path(name));
    return path(name);
  }
  // Names of everything in it, also hidden and in folders below ("below/a.csv"), sorted; without the list of
  // outputs that any folder with outputs has.
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder_))
      if (entry.path().filename() != ".leverwright_written")
        out.push_back(entry.path().lexically_relative(folder_).string());
    std::sort(out.begin(), out.end());
    return out;
  }

 private:
  std::filesystem::path folder_;
};

}  // namespace leverwright::support

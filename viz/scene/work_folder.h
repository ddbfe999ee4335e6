// A folder in TMPDIR for the length of the work, gone with everything in it; what a killed run left is taken away by the
// next one.
#pragma once
#include <string>

namespace leverwright::scene {

class WorkFolder {
 public:
  WorkFolder();  // UserError when none can be made
  ~WorkFolder();
  WorkFolder(const WorkFolder&) = delete;
  WorkFolder& operator=(const WorkFolder&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
  int held_ = -1;  // open, with a lock that goes with the process
};

}  // namespace leverwright::scene

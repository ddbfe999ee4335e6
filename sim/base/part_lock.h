// The one writer of a file: a lock on its temporary one, taken before a byte of it is touched.
//
// The lock belongs to the open file (flock), so it goes with the process, however that ends: a temporary file
// without a lock was left by a run that was killed and is written over. It is held until the file has its final name.
#pragma once
#include <string>

namespace leverwright::base {

class PartLock {
 public:
  PartLock() = default;
  // UserError when another run holds it, or no file can be made there; it names `told`, or the path. What the file
  // holds stays.
  explicit PartLock(const std::string& part_path, const std::string& told = "");
  ~PartLock();
  PartLock(const PartLock&) = delete;
  PartLock& operator=(const PartLock&) = delete;
  PartLock(PartLock&& other) noexcept;
  PartLock& operator=(PartLock&& other) noexcept;
  void release();
  int file() const { return file_; }  // open for reading and writing; -1: none is held

 private:
  int file_ = -1;
};

// Whether the open file is the one that has this name now: after waiting for a lock it may have been taken away or
// replaced.
bool is_named(int file, const std::string& path);

}  // namespace leverwright::base

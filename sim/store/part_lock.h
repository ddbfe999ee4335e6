// The one writer of a results file: a lock on its ".part", taken before a byte of it is touched.
//
// The lock belongs to the open file (flock), so it goes with the process, however that ends: a .part without
// a lock was left by a run that was killed and is written over. It is held until the file has its final name.
#pragma once
#include <string>

namespace leverwright::store {

class PartLock {
 public:
  PartLock() = default;
  // base::UserError when another run holds it, or no file can be made there.
  explicit PartLock(const std::string& part_path);
  ~PartLock();
  PartLock(const PartLock&) = delete;
  PartLock& operator=(const PartLock&) = delete;
  PartLock(PartLock&& other) noexcept;
  PartLock& operator=(PartLock&& other) noexcept;
  void release();

 private:
  int file_ = -1;
};

}  // namespace leverwright::store

#include "sim/store/part_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "sim/base/error.h"

namespace leverwright::store {

PartLock::PartLock(const std::string& part_path) {
  constexpr int kTries = 100;  // each time the file was renamed by the run that ended just then
  for (int k = 0; k < kTries; ++k) {
    file_ = ::open(part_path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (file_ < 0)
      throw base::UserError(part_path + " cannot be written (" + std::strerror(errno) + ")",
                            "name a folder you may write to");
    if (::flock(file_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
      release();
      throw base::UserError("another run is writing " + part_path,
                            "wait until it has ended, or name another folder");
    }
    // Where the file system has no locks, go without.
    struct stat mine {
    }, there{};
    if (::fstat(file_, &mine) == 0 && ::stat(part_path.c_str(), &there) == 0 && mine.st_ino == there.st_ino &&
        mine.st_dev == there.st_dev)
      return;
    release();
  }
  throw base::UserError(part_path + " changes hands all the time", "see which other runs write there");
}

PartLock::~PartLock() { release(); }
PartLock::PartLock(PartLock&& other) noexcept : file_(std::exchange(other.file_, -1)) {}
PartLock& PartLock::operator=(PartLock&& other) noexcept {
  if (this != &other) {
    release();
    file_ = std::exchange(other.file_, -1);
  }
  return *this;
}
void PartLock::release() {
  if (file_ >= 0) ::close(file_);
  file_ = -1;
}

}  // namespace leverwright::store

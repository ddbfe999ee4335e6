#include "sim/base/part_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "sim/base/error.h"

namespace leverwright::base {

bool is_named(int file, const std::string& path) {
  struct stat mine {
  }, there{};
  return ::fstat(file, &mine) == 0 && ::lstat(path.c_str(), &there) == 0 && mine.st_ino == there.st_ino &&
         mine.st_dev == there.st_dev;
}

PartLock::PartLock(const std::string& part_path, const std::string& told) {
  const std::string& name = told.empty() ? part_path : told;
  constexpr int kTries = 100;  // each time the file was renamed by the run that ended just then
  for (int k = 0; k < kTries; ++k) {
    file_ = ::open(part_path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (file_ < 0)
      throw UserError(name + " cannot be written (" + std::strerror(errno) + ")",
                      "name a folder you may write to");
    if (::flock(file_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
      release();
      throw UserError("another run is writing " + name, "wait until it has ended, or name another folder");
    }
    // Where the file system has no locks, go without.
    if (is_named(file_, part_path)) return;
    release();
  }
  throw UserError(name + " changes hands all the time", "see which other runs write there");
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

}  // namespace leverwright::base

#include "viz/scene/work_folder.h"

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>

#include "sim/base/error.h"

namespace leverwright::scene {
namespace fs = std::filesystem;

namespace {

constexpr const char* kBegin = "leverwright-work-";

// The number of the run that made it; 0 when it is none of these folders.
long run_of(const std::string& name) {
  const std::string begin = kBegin;
  if (name.compare(0, begin.size(), begin) != 0) return 0;
  char* end = nullptr;
  const long run = std::strtol(name.c_str() + begin.size(), &end, 10);
  return *end == '-' ? run : 0;
}

void remove_stale(const fs::path& folder) {
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const long run = run_of(it->path().filename().string());
    if (run <= 0 || run == getpid() || kill(static_cast<pid_t>(run), 0) == 0 || errno != ESRCH) continue;
    const int file = open(it->path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW);
    if (file < 0) continue;
    struct stat s {};
    if (fstat(file, &s) == 0 && s.st_uid == geteuid() && flock(file, LOCK_EX | LOCK_NB) == 0) {
      std::error_code ignored;
      fs::remove_all(it->path(), ignored);
    }
    close(file);
  }
}

}  // namespace

WorkFolder::WorkFolder() {
  std::error_code error;
  const fs::path folder = fs::temp_directory_path(error);
  if (!error) remove_stale(folder);
  path_ = (folder / (kBegin + std::to_string(getpid()) + "-XXXXXX")).string();
  if (error || mkdtemp(path_.data()) == nullptr)
    throw base::UserError("no temporary folder can be made",
                          "free some space, or set TMPDIR to a folder you may write in");
  held_ = open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (held_ >= 0) flock(held_, LOCK_EX | LOCK_NB);
}

WorkFolder::~WorkFolder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
  if (held_ >= 0) close(held_);
}

}  // namespace leverwright::scene

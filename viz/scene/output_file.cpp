#include "viz/scene/output_file.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cctype>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <mutex>
#include <set>
#include <vector>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "viz/scene/version_stamp.h"

namespace leverwright::scene {
namespace fs = std::filesystem;

namespace {

// ".NAME.part1234.png": of the run with this number.
std::string part_name(const fs::path& target, long run) {
  return "." + target.stem().string() + ".part" + std::to_string(run) + target.extension().string();
}

// The number of the run that made it; 0 when the name is no temporary one.
long run_of(const std::string& name) {
  const auto at = name.rfind(".part");
  if (name.empty() || name.front() != '.' || at == std::string::npos) return 0;
  const char* from = name.c_str() + at + 5;
  char* end = nullptr;
  const long run = std::strtol(from, &end, 10);
  return std::isdigit(static_cast<unsigned char>(*from)) != 0 && (*end == '\0' || *end == '.') ? run : 0;
}

bool is_first_in(const fs::path& folder) {
  static std::mutex mutex;
  static std::set<std::string> seen;
  const std::lock_guard<std::mutex> lock(mutex);
  return seen.insert(folder.string()).second;
}

fs::path folder_of(const fs::path& target) {
  return target.has_parent_path() ? target.parent_path() : fs::path(".");
}

}  // namespace

void remove_stale_files(const std::string& folder) {
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const long run = run_of(it->path().filename().string());
    if (run <= 0 || run == getpid() || kill(static_cast<pid_t>(run), 0) == 0 || errno != ESRCH) continue;
    const int file = open(it->path().c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (file < 0) continue;
    struct stat s {};
    if (fstat(file, &s) == 0 && S_ISREG(s.st_mode) && flock(file, LOCK_EX | LOCK_NB) == 0 &&
        base::is_named(file, it->path().string()))
      unlink(it->path().c_str());
    close(file);
  }
}

OutputFile::OutputFile(const std::string& path, Place place) : path_(base::followed(path)), place_(place) {
  const fs::path target(path_);
  const fs::path folder = folder_of(target);
  std::error_code ignored;
  if (!fs::is_directory(folder, ignored))
    throw base::UserError("cannot write " + path + ": the folder " + folder.string() + " does not exist",
                          "make the folder first, or name another place for the pictures");
  if (fs::is_directory(target, ignored))
    throw base::UserError("cannot write " + path + ": a folder of that name is in the way",
                          "name a file, not a folder");
  if (place_ == Place::kGuarded) base::check_output(path_);
  if (is_first_in(folder)) remove_stale_files(folder.string());
  part_path_ = (folder / part_name(target, getpid())).string();
  lock_ = base::PartLock(part_path_, path);
  struct stat there {};
  if (place_ == Place::kOwn && stat(path_.c_str(), &there) == 0) fchmod(lock_.file(), there.st_mode & 0777);
  if (ftruncate(lock_.file(), 0) != 0) {  // of a killed run that had the same number
    const int reason = errno;
    std::remove(part_path_.c_str());
    throw base::UserError("cannot write " + path + ": " + std::strerror(reason), "free some disk space");
  }
}

OutputFile::~OutputFile() {
  if (!kept_) std::remove(part_path_.c_str());
}

void OutputFile::keep() {
  stamp_version(part_path_);
  // A text may be all there is of long work; a picture can be drawn again.
  if (is_text_ && fsync(lock_.file()) != 0 && errno != EINVAL && errno != ENOSYS)
    throw base::UserError("cannot write " + path_ + ": " + std::strerror(errno), "free some disk space");
  if (place_ == Place::kGuarded) {
    base::check_output(path_);  // somebody may have put a file there meanwhile
    base::note_output(path_, part_path_);
  }
  if (std::rename(part_path_.c_str(), path_.c_str()) != 0)
    throw base::UserError("cannot write " + path_ + ": the finished file could not be given its name",
                          "check that the file is not write-protected");
  kept_ = true;
}

void OutputFile::write(const std::string& text) {
  errno = 0;
  is_text_ = true;
  std::ofstream out(part_path_, std::ios::binary);
  out << text;
  out.close();
  if (!out)
    throw base::UserError("cannot write " + path_ + ": writing failed part-way" +
                              (errno != 0 ? std::string(" (") + std::strerror(errno) + ")" : ""),
                          "free some disk space");
}

int unnamed_file() {
  const char* folder = std::getenv("TMPDIR");
  std::string path = folder != nullptr && *folder != '\0' ? folder : "/tmp";
#ifdef O_TMPFILE
  if (const int nameless = open(path.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600); nameless >= 0)
    return nameless;
#endif
  path += "/leverwright-XXXXXX";
  const int file = mkostemp(path.data(), O_CLOEXEC);
  if (file < 0)
    throw base::UserError(std::string("no temporary file could be made (") + std::strerror(errno) + ")",
                          "check TMPDIR and free disk space");
  unlink(path.c_str());
  return file;
}

std::string read_back(int file) {
  std::string out;
  char block[4096];
  for (off_t at = 0;;) {
    const ssize_t got = pread(file, block, sizeof block, at);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return out;
    out.append(block, static_cast<std::size_t>(got));
    at += got;
  }
}

std::string find_font(bool bold) {
  const std::string name = bold ? "DejaVuSans-Bold.ttf" : "DejaVuSans.ttf";
  std::vector<std::string> folders{"/usr/share/fonts/truetype/dejavu", "/usr/share/fonts/dejavu",
                                   "/usr/share/fonts/TTF", "/usr/local/share/fonts",
                                   "/usr/share/fonts/dejavu-sans-fonts"};
  if (const char* own = std::getenv("LEVERWRIGHT_FONTS")) folders = {own};
  std::error_code ignored;
  for (const std::string& folder : folders)
    if (fs::is_regular_file(folder + "/" + name, ignored)) return folder + "/" + name;
  throw base::UserError("the font DejaVu Sans (" + name + ") was not found",
                        "install the package fonts-dejavu-core, or set LEVERWRIGHT_FONTS to its folder");
}

}  // namespace leverwright::scene

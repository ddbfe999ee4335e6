#include "sim/base/output_guard.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <boost/crc.hpp>
#include <filesystem>
#include <fstream>
#include <mutex>
#include <set>
#include <sstream>
#include <utility>
#include <vector>

#include "sim/base/error.h"

namespace leverwright::base {
namespace {
namespace fs = std::filesystem;

using Identity = std::pair<dev_t, ino_t>;

struct Guard {
  std::mutex mutex;
  bool on = false, force = false;
  std::set<Identity> inputs;
  std::set<std::string> written;  // by full name
};
Guard& guard() {
  static Guard the_guard;
  return the_guard;
}

std::string full_name(const std::string& path) {
  std::error_code error;
  const fs::path whole = fs::weakly_canonical(path, error);
  return error ? path : whole.string();
}

// "crc size name", or "" when the file cannot be read.
std::string line_of(const std::string& file, const std::string& name) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return "";
  boost::crc_32_type crc;
  std::vector<char> block(1u << 16);
  std::uintmax_t size = 0;
  while (in) {
    in.read(block.data(), static_cast<std::streamsize>(block.size()));
    crc.process_bytes(block.data(), static_cast<std::size_t>(in.gcount()));
    size += static_cast<std::uintmax_t>(in.gcount());
  }
  return fmt::format("{:08x} {} {}", crc.checksum(), size, name);
}

fs::path record_beside(const std::string& path) {
  const fs::path folder = fs::path(path).parent_path();
  return (folder.empty() ? fs::path(".") : folder) / kRecordName;
}

std::vector<std::string> record_lines(const fs::path& record) {
  std::vector<std::string> lines;
  std::error_code error;
  if (!fs::is_regular_file(record, error) || fs::file_size(record, error) > (8u << 20)) return lines;
  std::ifstream in(record);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string name_on(const std::string& line) {
  const auto first = line.find(' '), second = line.find(' ', first + 1);
  return first == std::string::npos || second == std::string::npos ? "" : line.substr(second + 1);
}

bool is_as_we_left_it(const std::string& path) {
  const std::string own = line_of(path, fs::path(path).filename().string());
  const fs::path record = record_beside(path);
  // Another run may be tidying the list up: for a moment it is empty.
  const int held = ::open(record.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (held >= 0) ::flock(held, LOCK_SH);
  const std::vector<std::string> lines = record_lines(record);
  if (held >= 0) ::close(held);
  return !own.empty() && std::find(lines.begin(), lines.end(), own) != lines.end();
}

constexpr const char* kFirstLine =
    "# Files leverwright wrote in this folder. One that is not listed, or was changed since, is not replaced "
    "without --force.\n";
constexpr std::size_t kTidyFrom = 4000;  // lines

void put_on_record(const std::string& path, const std::string& part_path) {
  const std::string name = fs::path(path).filename().string();
  const std::string line = line_of(part_path, name);
  if (line.empty() || name.find('\n') != std::string::npos) return;
  const fs::path record = record_beside(path);
  // Without the list the file counts as made by hand the next time: a nuisance, no loss.
  const int file = ::open(record.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC | O_NOFOLLOW, 0644);
  if (file < 0) return;
  ::flock(file, LOCK_EX);
  const std::vector<std::string> before = record_lines(record);
  const auto newest = std::find_if(before.rbegin(), before.rend(),
                                   [&](const std::string& old) { return name_on(old) == name; });
  if (newest != before.rend() && *newest == line) {
    ::close(file);
    return;
  }
  std::string text = before.empty() ? kFirstLine : "";
  text += line + "\n";
  if (before.size() > kTidyFrom && ::ftruncate(file, 0) == 0) {
    // The newest line of each name, and of this name the one before too: it stands until the rename.
    std::set<std::string> seen;
    std::vector<std::string> kept;
    for (auto old = before.rbegin(); old != before.rend(); ++old)
      if (!old->empty() && old->front() != '#' && seen.insert(name_on(*old)).second) kept.push_back(*old);
    text = kFirstLine;
    for (auto old = kept.rbegin(); old != kept.rend(); ++old) text += *old + "\n";
    text += line + "\n";
  }
  const auto written = ::write(file, text.data(), text.size());
  static_cast<void>(written);
  ::close(file);
}

[[noreturn]] void refuse(const std::string& path, const std::string& what, const std::string& advice) {
  throw UserError({Problem{path, 0, "", what, "", advice}});
}

}  // namespace

void guard_outputs(bool force) {
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  g.on = true;
  g.force = force;
}

bool outputs_are_forced() {
  const std::lock_guard<std::mutex> lock(guard().mutex);
  return guard().force;
}

bool outputs_are_guarded() {
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  return g.on;
}

void note_input(const std::string& path) {
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  struct stat s {};
  if (!g.on || ::stat(path.c_str(), &s) != 0 || g.written.count(full_name(path)) > 0) return;
  g.inputs.insert({s.st_dev, s.st_ino});
}

void check_output(const std::string& path, bool known_as_ours) {
  struct stat s {};
  const bool there = ::stat(path.c_str(), &s) == 0;
  if (there && S_ISDIR(s.st_mode))
    refuse(path, "a folder of this name is in the way of an output", "give the output another name");
  if (there && !S_ISREG(s.st_mode))
    refuse(path, "this is no ordinary file, so nothing is written to it",
           "name a file; - stands for standard output");
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  if (!g.on) return;
  if (g.written.count(full_name(path)) > 0)
    refuse(path, "two outputs of this run have this name", "give each a name of its own");
  if (!there) return;
  if (g.inputs.count({s.st_dev, s.st_ino}) > 0)
    refuse(path, "this file was read by this run, so it is not replaced", "give the output another name");
  if (g.force || known_as_ours || s.st_size == 0 || is_as_we_left_it(path)) return;
  refuse(path, "there is a file of this name that leverwright did not write, or that was changed since",
         "give the output another name or folder; --force replaces the file");
}

void note_output(const std::string& path, const std::string& part_path) {
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  if (!g.on) return;
  put_on_record(path, part_path);
  g.written.insert(full_name(path));
}

void note_output(const std::string& path) {
  Guard& g = guard();
  const std::lock_guard<std::mutex> lock(g.mutex);
  if (g.on) g.written.insert(full_name(path));
}

std::string followed(const std::string& path) {
  std::error_code error;
  if (!fs::is_symlink(path, error)) return path;
  const fs::path target = fs::weakly_canonical(path, error);
  return error ? path : target.string();
}

}  // namespace leverwright::base

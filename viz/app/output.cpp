#include "viz/app/output.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <boost/crc.hpp>
#include <cctype>
#include <cerrno>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <system_error>
#include <thread>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/part_lock.h"
#include "sim/base/words.h"
#include "viz/app/terminal.h"
#include "viz/scene/output_file.h"

namespace leverwright::app {

namespace fs = std::filesystem;

namespace {

void remove_last(const std::vector<std::string>& made) {
  for (auto one = made.rbegin(); one != made.rend(); ++one) {
    std::error_code error;
    const fs::path record = fs::path(*one) / base::kRecordName;
    const auto count = std::distance(fs::directory_iterator(*one, error), fs::directory_iterator());
    if (!error && count == 1 && fs::exists(record, error)) fs::remove(record, error);
    if (!fs::is_empty(*one, error) || error || !fs::remove(*one, error)) return;
  }
}

}  // namespace

OutputFolder::OutputFolder(const std::string& path) : path_(path) {
  while (path_.size() > 1 && path_.back() == '/') path_.pop_back();
  if (path_.empty())
    throw base::UserError("the name of the output folder is empty", "give one: --out FOLDER");
  constexpr int kTries = 100;  // each time another run took the folder away just then
  for (int k = 0; k < kTries; ++k)
    if (make() && hold()) return;
  remove_last(made_);
  throw base::UserError(path_ + " is made and taken away all the time", "see which other runs write there");
}

// False when a folder went while those below it were made.
bool OutputFolder::make() {
  fs::path so_far;
  for (const fs::path& part : fs::path(path_)) {
    so_far /= part;
    std::error_code error;
    if (fs::is_directory(so_far, error)) continue;
    if (fs::exists(so_far, error))
      throw base::UserError({base::Problem{so_far.string(), 0, "", "this is a file, not a folder",
                                           "a folder for the results", "give another name with --out"}});
    if (!fs::create_directory(so_far, error)) {
      std::error_code asked;
      if (fs::is_directory(so_far, asked)) continue;  // another run made it in between
      const fs::path above = so_far.parent_path();
      if (!above.empty() && !fs::exists(above, asked)) return false;
      const std::string why = error.message();
      remove_last(made_);
      throw base::UserError({base::Problem{so_far.string(), 0, "", "the folder cannot be made: " + why, "",
                                           "give a folder you may write to with --out"}});
    }
    if (std::find(made_.begin(), made_.end(), so_far.string()) == made_.end())
      made_.push_back(so_far.string());
  }
  return true;
}

// A run that made the folder takes it away only when no other run holds it, so none loses its folder between finding it
// and writing into it. False when it went before it was held.
bool OutputFolder::hold() {
  folder_ = open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder_ < 0) return errno != ENOENT;  // it may be written in, but not read: go without
  for (int k = 0; k < 100 && flock(folder_, LOCK_SH | LOCK_NB) != 0 && errno == EWOULDBLOCK; ++k)
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  struct stat mine {
  }, there{};
  if (fstat(folder_, &mine) == 0 && stat(path_.c_str(), &there) == 0 && mine.st_ino == there.st_ino &&
      mine.st_dev == there.st_dev)
    return true;
  close(folder_);
  folder_ = -1;
  return false;
}

OutputFolder::~OutputFolder() {
  const bool alone = folder_ < 0 || flock(folder_, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK;
  if (alone) remove_last(made_);
  if (folder_ >= 0) close(folder_);
}

void write_text_file(const std::string& path, const std::string& text) {
  if (path == "-") return write_result(text);
  scene::OutputFile file(path);
  file.write(text);
  file.keep();
}

void replace_text_file(const std::string& path, const std::string& text, const std::string& what) {
  try {
    scene::OutputFile file(path, scene::OutputFile::Place::kOwn);
    file.write(text);
    file.keep();
  } catch (const base::UserError&) {
    throw base::UserError(
        what + " cannot be written into " + path,
        "see that the folder can be written in and the disk has room; the file is as it was");
  }
}

void replace_unchanged(const std::string& path, const std::string& before, const std::string& text,
                       const std::string& what) {
  // Whoever comes at the same moment waits here, and then finds another file under this name.
  const std::string real = base::followed(path);
  const int held = open(real.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (held >= 0) flock(held, LOCK_EX);
  std::ifstream in(real, std::ios::binary);
  const std::string now((std::istreambuf_iterator<char>(in)), {});
  const bool same = held >= 0 && base::is_named(held, real) && now == before;
  try {
    if (!same)
      throw base::UserError(path + " was changed while this ran; nothing is kept in it", "run it again");
    replace_text_file(path, text, what);
  } catch (...) {
    if (held >= 0) close(held);
    throw;
  }
  close(held);
}

void check_writable(const std::string& path) {
  if (path.empty() || path == "-") return;
  const scene::OutputFile probe(path);  // makes its temporary file and takes it away again
}

void check_number_files(const std::string& json, const std::string& csv) {
  std::error_code ignored;
  if (!json.empty() && json != "-" &&
      fs::weakly_canonical(json, ignored) == fs::weakly_canonical(csv, ignored))
    throw base::UserError("--json and --csv both name " + json, "give each a file of its own");
  if (json == "-" && csv == "-")
    throw base::UserError("--json - and --csv - cannot both go to standard output",
                          "give one of them a file name");
}

std::string file_word(const std::string& name) {
  constexpr std::size_t kLongest = 80;
  std::string out;
  bool same = name.size() <= kLongest && !name.empty();
  for (const char c : name.substr(0, kLongest)) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalnum(byte) != 0 || c == '-' || byte >= 0x80) {
      out += c;
    } else if (c == '#') {
      out += "sharp";
    } else {
      out += '_';
      same = same && c == ' ';
    }
  }
  same = same && name.find("sharp") == std::string::npos;
  if (same) return out;
  boost::crc_32_type crc;
  crc.process_bytes(name.data(), name.size());
  return out + fmt::format("_{:08x}", crc.checksum());
}

void check_new_files(const std::vector<std::string>& paths) {
  std::set<std::string> seen;
  for (const std::string& path : paths) {
    if (!seen.insert(base::lower(path)).second)  // a memory stick may not tell C4 from c4
      throw base::UserError(
          {base::Problem{path, 0, "", "two outputs of this run would have this name", "",
                         "give the notes or set-ups names that differ in letters or digits"}});
    base::check_output(path);
  }
}

std::string case_name(const std::string& case_path) {
  const fs::path path = fs::weakly_canonical(case_path);
  if (path.stem() == "case" && path.has_parent_path() && !path.parent_path().filename().empty())
    return path.parent_path().filename().string();
  return path.stem().string();
}

}  // namespace leverwright::app

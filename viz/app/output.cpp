#include "viz/app/output.h"

#include <fmt/format.h>

#include <boost/crc.hpp>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <system_error>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/words.h"
#include "viz/app/terminal.h"
#include "viz/scene/output_file.h"

namespace leverwright::app {

namespace fs = std::filesystem;

OutputFolder::OutputFolder(const std::string& path) : path_(path) {
  while (path_.size() > 1 && path_.back() == '/') path_.pop_back();
  if (path_.empty())
    throw base::UserError("the name of the output folder is empty", "give one: --out FOLDER");
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
      const std::string why = error.message();
      for (auto made = made_.rbegin(); made != made_.rend(); ++made) fs::remove(*made, error);
      throw base::UserError({base::Problem{so_far.string(), 0, "", "the folder cannot be made: " + why, "",
                                           "give a folder you may write to with --out"}});
    }
    made_.push_back(so_far.string());
  }
}

OutputFolder::~OutputFolder() {
  for (auto made = made_.rbegin(); made != made_.rend(); ++made) {
    std::error_code error;
    const fs::path record = fs::path(*made) / base::kRecordName;
    const auto count = std::distance(fs::directory_iterator(*made, error), fs::directory_iterator());
    if (!error && count == 1 && fs::exists(record, error)) fs::remove(record, error);
    if (!fs::is_empty(*made, error) || error || !fs::remove(*made, error)) return;
  }
}

void write_text_file(const std::string& path, const std::string& text) {
  if (path == "-") return write_result(text);
  scene::OutputFile file(path);
  file.write(text);
  file.keep();
}

void replace_text_file(const std::string& path, const std::string& text, const std::string& what) {
  const std::string part = path + ".part";
  std::ofstream out(part, std::ios::binary);
  out << text;
  out.close();
  std::error_code fault;
  if (out) fs::rename(part, path, fault);
  if (!out || fault) {
    fs::remove(part, fault);
    throw base::UserError(
        what + " cannot be written into " + path,
        "see that the folder can be written in and the disk has room; the file is as it was");
  }
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

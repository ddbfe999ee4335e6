#include "viz/scene/output_file.h"

#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <vector>

#include "sim/base/error.h"

namespace leverwright::scene {
namespace fs = std::filesystem;

OutputFile::OutputFile(const std::string& path) : path_(path) {
  const fs::path target(path);
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  std::error_code ignored;
  if (!fs::is_directory(folder, ignored))
    throw base::UserError("cannot write " + path + ": the folder " + folder.string() + " does not exist",
                          "make the folder first, or name another place for the pictures");
  if (fs::is_directory(target, ignored))
    throw base::UserError("cannot write " + path + ": a folder of that name is in the way",
                          "name a file, not a folder");
  part_path_ = (folder / ("." + target.stem().string() + ".part" + std::to_string(getpid()) +
                          target.extension().string()))
                   .string();
  std::ofstream probe(part_path_);
  if (!probe)
    throw base::UserError("cannot write " + path + ": no permission to write in " + folder.string(),
                          "choose a folder you may write in, or free some disk space");
}

OutputFile::~OutputFile() {
  if (!kept_) std::remove(part_path_.c_str());
}

void OutputFile::keep() {
  if (std::rename(part_path_.c_str(), path_.c_str()) != 0)
    throw base::UserError("cannot write " + path_ + ": the finished file could not be given its name",
                          "check that the file is not write-protected");
  kept_ = true;
}

void OutputFile::write(const std::string& text) {
  std::ofstream out(part_path_, std::ios::binary);
  out << text;
  out.flush();
  if (!out)
    throw base::UserError("cannot write " + path_ + ": writing failed part-way", "free some disk space");
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

#include "sim/base/program_files.h"

#include <filesystem>
#include <system_error>

namespace leverwright::base {

namespace fs = std::filesystem;

std::string find_installed(const std::string& name) {
  std::error_code none;
  const fs::path program =
      fs::read_symlink("/proc/self/exe", none);  // symbolic links on the way are resolved
  if (none) return "";
  const fs::path folder = program.parent_path().parent_path() / "share" / "leverwright" / name;
  return fs::is_directory(folder, none) ? folder.string() : "";
}

}  // namespace leverwright::base

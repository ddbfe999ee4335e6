#include "tests/viz/support/read_back.h"

#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <vector>

namespace leverwright::mock {

std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream out;
  out << in.rdbuf();
  return out.str();
}

std::string run(const std::string& command) {
  std::string out;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return out;
  char buffer[4096];
  size_t n = 0;
  while ((n = fread(buffer, 1, sizeof buffer, pipe)) > 0) out.append(buffer, n);
  pclose(pipe);
  return out;
}

PngSize png_size(const std::string& path) {
  const std::string data = read_file(path);
  if (data.size() < 24 || data.compare(1, 3, "PNG") != 0) return {};
  const auto number = [&](size_t at) {
    int v = 0;
    for (size_t i = 0; i < 4; ++i) v = v * 256 + static_cast<unsigned char>(data[at + i]);
    return v;
  };
  return {number(16), number(20)};
}

namespace {
// Folders of this run, gone with it.
struct Folders {
  std::vector<std::filesystem::path> paths;
  ~Folders() {
    std::error_code ignored;
    for (const auto& path : paths) std::filesystem::remove_all(path, ignored);
  }
};
}  // namespace

std::string fresh_folder(const std::string& name) {
  static Folders folders;
  // Tests of one program run side by side, each in a process of its own.
  const auto path = std::filesystem::temp_directory_path() /
                    ("leverwright_test_" + name + "_" + std::to_string(::getpid()));
  std::filesystem::remove_all(path);
  std::filesystem::create_directories(path);
  folders.paths.push_back(path);
  return path.string();
}

int count_files(const std::string& folder) {
  int n = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) n += entry.exists() ? 1 : 0;
  return n;
}

int count(const std::string& text, const std::string& piece) {
  int n = 0;
  for (size_t at = text.find(piece); at != std::string::npos; at = text.find(piece, at + piece.size())) ++n;
  return n;
}

}  // namespace leverwright::mock

// Looking at finished picture files in tests.
#pragma once
#include <string>

namespace leverwright::mock {

std::string read_file(const std::string& path);
std::string run(const std::string& command);  // stdout of a shell command
struct PngSize {
  int width = 0, height = 0;
};
PngSize png_size(const std::string& path);          // from the file's header; 0 x 0 when it is no PNG
std::string fresh_folder(const std::string& name);  // an empty folder for one test's files
int count_files(const std::string& folder);         // hidden ones included
int count(const std::string& text, const std::string& piece);

}  // namespace leverwright::mock

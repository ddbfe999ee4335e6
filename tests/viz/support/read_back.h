// Looking at finished picture files in tests.
#pragma once
#include <string>

#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::mock {

std::string run(const std::string& command);  // stdout of a shell command
struct PngSize {
  int width = 0, height = 0;
};
PngSize png_size(const std::string& path);  // from the file's header; 0 x 0 when it is no PNG
int count(const std::string& text, const std::string& piece);

}  // namespace leverwright::mock

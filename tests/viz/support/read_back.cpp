#include "tests/viz/support/read_back.h"

#include <cstdio>

namespace leverwright::mock {

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
  const std::string data = support::read_text(path);
  if (data.size() < 24 || data.compare(1, 3, "PNG") != 0) return {};
  const auto number = [&](size_t at) {
    int v = 0;
    for (size_t i = 0; i < 4; ++i) v = v * 256 + static_cast<unsigned char>(data[at + i]);
    return v;
  };
  return {number(16), number(20)};
}

int count(const std::string& text, const std::string& piece) {
  int n = 0;
  for (size_t at = text.find(piece); at != std::string::npos; at = text.find(piece, at + piece.size())) ++n;
  return n;
}

}  // namespace leverwright::mock

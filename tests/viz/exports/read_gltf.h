// A glTF file read back by VTK's own reader, which no part of the program links: its module brings in an
// image library with a GPL part.
#pragma once
#include <string>

namespace leverwright::exports {

struct GltfCounts {
  long points = 0;
  int animations = 0;
  double x_low = 0, x_high = 0;  // as placed at the start, in the file's unit
  double seconds = 0;            // of the first animation
};
GltfCounts read_gltf(const std::string& path);  // throws when it cannot be read

}  // namespace leverwright::exports

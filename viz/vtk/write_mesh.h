// Flat outlines as VTK XML files for general 3-D viewers, and reading them back.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::vtk {

struct MeshPiece {
  std::vector<scene::Point> points;  // mm, W
  bool closed = true;                // a polygon, else a line
  int body = 0;                      // cell data "body"
};

// One .vtp file (polygons may be concave: they are written as triangles); written under a temporary name,
// read again, renamed. UserError when it cannot be written.
void write_vtp(const std::vector<MeshPiece>& pieces, const std::string& path);

struct MeshCounts {
  long points = 0, lines = 0, triangles = 0;
  double x_low = 0, x_high = 0;
  bool has_body = false;
};
MeshCounts read_vtp(const std::string& path);  // by VTK's own reader

}  // namespace leverwright::vtk

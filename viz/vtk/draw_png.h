// The scene drawn by VTK: seen straight on (orthographic), light background, antialiased, no display needed.
#pragma once
#include <string>

#include "viz/scene/drawing.h"

namespace leverwright::vtk {

// Writes a PNG of exactly width x height pixels; the page keeps its own proportions inside it, so words and
// line widths stand in the same relation to the picture as on paper (`page.height_mm` 0 = follow the pixels).
// Returns the path. UserError when this machine cannot draw, the folder or the font is missing; no partial
// file.
std::string draw_png(const scene::Scene& scene, const std::string& path, int width, int height,
                     const scene::Page& page = {});

// Height in pixels that fits the page at this width.
int find_height(const scene::Scene& scene, int width, const scene::Page& page = {});

}  // namespace leverwright::vtk

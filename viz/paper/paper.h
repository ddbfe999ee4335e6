// Scenes on paper: SVG and PDF with real words (DejaVu Sans, embedded in the PDF) and PNG.
//
// The SVG is written here because Cairo's SVG surface turns words into outlines; PDF and PNG are Cairo's.
// Every function returns the path written, throws UserError (missing folder, missing font, page too small)
// and leaves no partial file.
#pragma once
#include <string>

#include "viz/scene/drawing.h"

namespace leverwright::paper {

std::string draw_svg(const scene::Scene& scene, const scene::Page& page, const std::string& path);
std::string draw_pdf(const scene::Scene& scene, const scene::Page& page, const std::string& path);
std::string draw_png(const scene::Scene& scene, const scene::Page& page, const std::string& path,
                     double dots_per_inch = 200);

// The SVG text itself.
std::string write_svg(const scene::Drawing& drawing, const std::string& title);

}  // namespace leverwright::paper

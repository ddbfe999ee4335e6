// Scenes drawn into memory, frame after frame: for films. Cairo draws them because it needs no window and the
// same drawing is the page's SVG and PDF.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "viz/scene/drawing.h"

namespace leverwright::paper {

class Raster {
 public:
  // UserError when the font is missing. Width and height in pixels.
  Raster(int width, int height);
  ~Raster();
  Raster(const Raster&) = delete;
  Raster& operator=(const Raster&) = delete;

  // A picture that lies on the paper below everything that is drawn.
  struct Below {
    scene::Box at;  // mm on the page
    int width = 0, height = 0;
    const std::vector<unsigned char>* pixels = nullptr;  // as pixels() gives them
  };
  // The page fills the picture's width.
  void draw(const scene::Drawing& drawing, const std::vector<Below>& below = {});
  int width() const;
  int height() const;
  // Rows from the top, four bytes a pixel: blue, green, red, unused (on little-endian machines).
  const std::vector<unsigned char>& pixels() const;
  void write_png(const std::string& path) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace leverwright::paper

#include <cairo-ft.h>
#include <cairo-pdf.h>
#include <cairo.h>
#include <ft2build.h>

#include <cmath>
#include <map>
#include <memory>
#include FT_FREETYPE_H

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/paper/paper.h"
#include "viz/paper/raster.h"
#include "viz/scene/output_file.h"

namespace leverwright::paper {
namespace {
using scene::Drawing;

constexpr double kPoint = 72 / 25.4;  // points per mm

struct CloseSurface {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct CloseContext {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using Surface = std::unique_ptr<cairo_surface_t, CloseSurface>;
using Context = std::unique_ptr<cairo_t, CloseContext>;

void check(cairo_status_t status, const std::string& path) {
  if (status != CAIRO_STATUS_SUCCESS)
    throw base::UserError("cannot draw " + path + ": " + cairo_status_to_string(status),
                          "check free disk space and the size asked for");
}

// A face read from its file, so that the words look the same on every machine. Faces are kept for the whole
// run, as Cairo asks: it may hold glyphs of them longer than any surface.
cairo_font_face_t* open_face(bool bold) {
  static auto& faces = *new std::map<std::string, cairo_font_face_t*>;
  static FT_Library library = nullptr;
  const std::string path = scene::find_font(bold);
  const auto known = faces.find(path);
  if (known != faces.end()) return known->second;
  if (library == nullptr && FT_Init_FreeType(&library) != 0)
    throw base::UserError("the font library could not be started");
  FT_Face face = nullptr;
  if (FT_New_Face(library, path.c_str(), 0, &face) != 0)
    throw base::UserError("the font file " + path + " cannot be read",
                          "reinstall the package fonts-dejavu-core");
  return faces[path] = cairo_ft_font_face_create_for_ft_face(face, 0);
}

struct Fonts {
  cairo_font_face_t* plain = open_face(false);
  cairo_font_face_t* bold = open_face(true);
};

struct Paint {
  cairo_t* cr;
  const Fonts& fonts;

  void finish(const std::optional<scene::Ink>& fill, const std::optional<scene::Pen>& pen) const {
    if (fill) {
      cairo_set_source_rgba(cr, fill->colour.r, fill->colour.g, fill->colour.b, fill->opacity);
      if (pen)
        cairo_fill_preserve(cr);
      else
        cairo_fill(cr);
    }
    if (pen) {
      cairo_set_source_rgb(cr, pen->colour.r, pen->colour.g, pen->colour.b);
      cairo_set_line_width(cr, pen->width);
      cairo_set_line_cap(cr, pen->dashes.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
      cairo_set_dash(cr, pen->dashes.data(), static_cast<int>(pen->dashes.size()), 0);
      cairo_stroke(cr);
    }
    cairo_new_path(cr);
  }
  void operator()(const scene::DrawnPath& s) const {
    for (const scene::Point& p : s.points) cairo_line_to(cr, p.x(), p.y());
    if (s.closed) cairo_close_path(cr);
    finish(s.fill, s.pen);
  }
  void operator()(const scene::DrawnCircle& s) const {
    cairo_new_sub_path(cr);
    cairo_arc(cr, s.centre.x(), s.centre.y(), s.radius, 0, 2 * base::kPi);
    finish(s.fill, s.pen);
  }
  void operator()(const scene::DrawnText& s) const {
    cairo_save(cr);
    cairo_translate(cr, s.at.x(), s.at.y());
    cairo_scale(cr, 1, -1);  // the sheet's y runs up, letters' y runs down
    cairo_rotate(cr, -s.angle_deg * base::kDegree);
    cairo_set_font_face(cr, s.bold ? fonts.bold : fonts.plain);
    cairo_set_font_size(cr, s.size);
    cairo_text_extents_t box;
    cairo_text_extents(cr, s.text.c_str(), &box);
    const double shift = s.across == scene::Across::kLeft     ? 0
                         : s.across == scene::Across::kCentre ? -0.5
                                                              : -1;
    if (s.halo) {
      cairo_move_to(cr, shift * box.x_advance, 0);
      cairo_text_path(cr, s.text.c_str());
      cairo_set_source_rgba(cr, 1, 1, 1, 0.85);
      cairo_set_line_width(cr, 0.3 * s.size);
      cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
      cairo_set_dash(cr, nullptr, 0, 0);
      cairo_stroke(cr);
    }
    cairo_move_to(cr, shift * box.x_advance, 0);
    cairo_set_source_rgb(cr, s.colour.r, s.colour.g, s.colour.b);
    cairo_show_text(cr, s.text.c_str());
    cairo_restore(cr);
    cairo_new_path(cr);
  }
};

// `unit` is the surface's units per mm.
void paint_below(cairo_t* cr, const Raster::Below& below) {
  const Surface picture(cairo_image_surface_create_for_data(const_cast<unsigned char*>(below.pixels->data()),
                                                            CAIRO_FORMAT_RGB24, below.width, below.height,
                                                            4 * below.width));
  cairo_save(cr);
  cairo_translate(cr, below.at.x0, below.at.y1);
  cairo_scale(cr, below.at.width() / below.width, -below.at.height() / below.height);
  cairo_set_source_surface(cr, picture.get(), 0, 0);
  cairo_paint(cr);
  cairo_restore(cr);
}

void paint(const Drawing& drawing, cairo_surface_t* surface, double unit, const Fonts& fonts,
           const std::string& path, const std::vector<Raster::Below>& below = {}) {
  Context context(cairo_create(surface));
  cairo_t* cr = context.get();
  cairo_translate(cr, 0, unit * drawing.height);
  cairo_scale(cr, unit, -unit);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(cr, options);
  cairo_font_options_destroy(options);
  cairo_set_source_rgb(cr, 1, 1, 1);
  cairo_paint(cr);
  for (const Raster::Below& b : below) paint_below(cr, b);
  for (const scene::Layer& layer : drawing.layers) {
    cairo_save(cr);
    if (layer.clip) {
      cairo_rectangle(cr, layer.clip->x0, layer.clip->y0, layer.clip->width(), layer.clip->height());
      cairo_clip(cr);
    }
    for (const scene::Drawn& item : layer.items) std::visit(Paint{cr, fonts}, item);
    cairo_restore(cr);
  }
  cairo_show_page(cr);
  check(cairo_status(cr), path);
}

}  // namespace

std::string draw_pdf(const scene::Scene& scene, const scene::Page& page, const std::string& path) {
  const Drawing drawing = lay_out(scene, page);
  const Fonts fonts;
  scene::OutputFile file(path);
  {
    Surface surface(
        cairo_pdf_surface_create(file.part_path().c_str(), kPoint * drawing.width, kPoint * drawing.height));
    check(cairo_surface_status(surface.get()), path);
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, scene.title.c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR,
                                   (std::string("leverwright ") + base::kVersion).c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
    paint(drawing, surface.get(), kPoint, fonts, path);
    cairo_surface_finish(surface.get());
    check(cairo_surface_status(surface.get()), path);
  }
  file.keep();
  return path;
}

std::string draw_png(const scene::Scene& scene, const scene::Page& page, const std::string& path,
                     double dots_per_inch) {
  const Drawing drawing = lay_out(scene, page);
  const Fonts fonts;
  scene::OutputFile file(path);
  {
    const double unit = dots_per_inch / 25.4;
    Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                               static_cast<int>(std::lround(unit * drawing.width)),
                                               static_cast<int>(std::lround(unit * drawing.height))));
    check(cairo_surface_status(surface.get()), path);
    paint(drawing, surface.get(), unit, fonts, path);
    check(cairo_surface_write_to_png(surface.get(), file.part_path().c_str()), path);
  }
  file.keep();
  return path;
}

struct Raster::Inside {
  Fonts fonts;
  int width, height;
  std::vector<unsigned char> pixels;
  Inside(int w, int h) : width(w), height(h), pixels(4 * static_cast<size_t>(w) * static_cast<size_t>(h)) {}
  cairo_surface_t* surface() {
    return cairo_image_surface_create_for_data(pixels.data(), CAIRO_FORMAT_RGB24, width, height, 4 * width);
  }
};

Raster::Raster(int width, int height) : in_(std::make_unique<Inside>(width, height)) {}
Raster::~Raster() = default;
int Raster::width() const { return in_->width; }
int Raster::height() const { return in_->height; }
const std::vector<unsigned char>& Raster::pixels() const { return in_->pixels; }

void Raster::draw(const Drawing& drawing, const std::vector<Below>& below) {
  Surface surface(in_->surface());
  check(cairo_surface_status(surface.get()), "a frame");
  paint(drawing, surface.get(), in_->width / drawing.width, in_->fonts, "a frame", below);
  cairo_surface_flush(surface.get());
}

void Raster::write_png(const std::string& path) const {
  scene::OutputFile file(path);
  Surface surface(in_->surface());
  check(cairo_surface_write_to_png(surface.get(), file.part_path().c_str()), path);
  file.keep();
}

}  // namespace leverwright::paper

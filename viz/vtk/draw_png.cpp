#include "viz/vtk/draw_png.h"

#include <fmt/format.h>
#include <png.h>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkImageData.h>
#include <vtkImageShrink3D.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkRendererCollection.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkUnsignedCharArray.h>
#include <vtkWindowToImageFilter.h>

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/scene/output_file.h"
#include "viz/vtk/headless_window.h"
#include "viz/vtk/triangles.h"

namespace leverwright::vtk {
namespace {

constexpr int kFiner = 2;  // drawn twice as fine and averaged, on top of the context's own samples
constexpr double kDescent =
    0.236;  // VTK sets words by the lowest ink of DejaVu Sans, in em below the baseline
constexpr double kDepthStep = 1e-3;  // later shapes lie nearer to the eye

// All triangles of a layer in one mesh, coloured by cell.
class Mesh {
 public:
  Mesh() {
    colours_->SetNumberOfComponents(4);
    colours_->SetName("colour");
  }
  void add(const std::vector<Triangle>& triangles, const scene::Rgb& colour, double opacity, double depth) {
    const auto byte = [](double c) {
      return static_cast<unsigned char>(std::lround(255 * std::clamp(c, 0.0, 1.0)));
    };
    for (const Triangle& t : triangles) {
      cells_->InsertNextCell(3);
      for (const scene::Point& p : t) cells_->InsertCellPoint(points_->InsertNextPoint(p.x(), p.y(), depth));
      const unsigned char rgba[4] = {byte(colour.r), byte(colour.g), byte(colour.b), byte(opacity)};
      colours_->InsertNextTypedTuple(rgba);
    }
  }
  void put_into(vtkRenderer* renderer) const {
    if (cells_->GetNumberOfCells() == 0) return;
    vtkNew<vtkPolyData> data;
    data->SetPoints(points_);
    data->SetPolys(cells_);
    data->GetCellData()->SetScalars(colours_);
    vtkNew<vtkPolyDataMapper> mapper;
    mapper->SetInputData(data);
    mapper->SetColorModeToDirectScalars();
    vtkNew<vtkActor> actor;
    actor->SetMapper(mapper);
    actor->GetProperty()->LightingOff();
    renderer->AddActor(actor);
  }

 private:
  vtkNew<vtkPoints> points_;
  vtkNew<vtkCellArray> cells_;
  vtkNew<vtkUnsignedCharArray> colours_;
};

struct Frame {  // pixels of the fine picture
  double per_mm;
  double left, bottom;  // where the page's corner falls
};

struct Collect {
  Mesh& opaque;
  Mesh& clear;
  std::vector<const scene::DrawnText*>& words;
  double& depth;

  void add(const std::vector<Triangle>& triangles, const scene::Rgb& colour, double opacity = 1) {
    depth += kDepthStep;
    (opacity < 1 ? clear : opaque).add(triangles, colour, opacity, depth);
  }
  void operator()(const scene::DrawnPath& s) {
    if (s.fill) add(fill_polygon(s.points), s.fill->colour, s.fill->opacity);
    if (s.pen) add(widen(s), s.pen->colour);
  }
  void operator()(const scene::DrawnCircle& s) {
    (*this)(scene::DrawnPath{circle_points(s.centre, s.radius), true, s.fill, s.pen});
  }
  void operator()(const scene::DrawnText& s) { words.push_back(&s); }
};

// Halo (a ring of paper-coloured copies) or the words themselves.
void add_words(const scene::DrawnText& text, bool halo, const Frame& frame, double view_left,
               double view_bottom, vtkRenderer* renderer) {
  const double size = text.size * frame.per_mm, turn = text.angle_deg * base::kDegree;
  const double x = frame.left + text.at.x() * frame.per_mm - view_left + kDescent * size * std::sin(turn);
  const double y = frame.bottom + text.at.y() * frame.per_mm - view_bottom - kDescent * size * std::cos(turn);
  const std::string font = scene::find_font(text.bold);
  const scene::Rgb colour = halo ? scene::rgb(scene::Role::kPaper) : text.colour;
  constexpr int kCopies = 12;
  for (int i = 0; i < (halo ? kCopies : 1); ++i) {
    vtkNew<vtkTextActor> actor;
    actor->SetInput(text.text.c_str());
    actor->SetTextScaleModeToNone();
    actor->SetOrientation(static_cast<float>(text.angle_deg));
    vtkTextProperty* look = actor->GetTextProperty();
    look->SetFontFamily(VTK_FONT_FILE);
    look->SetFontFile(font.c_str());
    look->SetFontSize(std::max(1, static_cast<int>(std::lround(size))));
    look->SetColor(colour.r, colour.g, colour.b);
    look->SetJustification(static_cast<int>(text.across));
    look->SetVerticalJustificationToBottom();
    const double away = halo ? 0.14 * size : 0, way = 2 * base::kPi * i / kCopies;
    actor->SetPosition(x + away * std::cos(way), y + away * std::sin(way));
    renderer->AddActor2D(actor);
  }
}

// Whole pixels, so that the camera and the viewport agree exactly.
struct Viewport {
  int x0, y0, x1, y1;
};

Viewport find_viewport(const scene::Layer& layer, const Frame& frame, int width, int height) {
  if (!layer.clip) return {0, 0, width, height};
  const auto pixel = [&](double origin, double mm, int low, int high) {
    return std::clamp(static_cast<int>(std::lround(origin + mm * frame.per_mm)), low, high);
  };
  const int x0 = pixel(frame.left, layer.clip->x0, 0, width - 1),
            y0 = pixel(frame.bottom, layer.clip->y0, 0, height - 1);
  return {x0, y0, pixel(frame.left, layer.clip->x1, x0 + 1, width),
          pixel(frame.bottom, layer.clip->y1, y0 + 1, height)};
}

vtkSmartPointer<vtkRenderer> add_renderer(const Viewport& v, int width, int height, vtkRenderWindow* window) {
  auto renderer = vtkSmartPointer<vtkRenderer>::New();
  renderer->SetViewport(static_cast<double>(v.x0) / width, static_cast<double>(v.y0) / height,
                        static_cast<double>(v.x1) / width, static_cast<double>(v.y1) / height);
  // Renderers of higher layers draw over the lower ones and keep what is there.
  const int layer = window->GetRenderers()->GetNumberOfItems();
  window->SetNumberOfLayers(layer + 1);
  renderer->SetLayer(layer);
  renderer->SetBackground(1, 1, 1);
  renderer->InteractiveOff();
  window->AddRenderer(renderer);
  return renderer;
}

// Shapes, then halos, then words, each in a renderer of its own: VTK promises an order only between
// renderers.
void add_layer(const scene::Layer& layer, const Frame& frame, int width, int height,
               vtkRenderWindow* window) {
  const Viewport v = find_viewport(layer, frame, width, height);
  Mesh opaque, clear;
  std::vector<const scene::DrawnText*> words;
  double depth = 0;
  for (const scene::Drawn& item : layer.items) std::visit(Collect{opaque, clear, words, depth}, item);
  const auto renderer = add_renderer(v, width, height, window);
  opaque.put_into(renderer);
  clear.put_into(renderer);
  vtkCamera* camera = renderer->GetActiveCamera();
  const double cx = (0.5 * (v.x0 + v.x1) - frame.left) / frame.per_mm,
               cy = (0.5 * (v.y0 + v.y1) - frame.bottom) / frame.per_mm;
  camera->ParallelProjectionOn();
  camera->SetParallelScale(0.5 * (v.y1 - v.y0) / frame.per_mm);
  camera->SetFocalPoint(cx, cy, 0);
  camera->SetPosition(cx, cy, depth + 1);
  camera->SetViewUp(0, 1, 0);
  camera->SetClippingRange(0.5, depth + 2);

  const bool halos =
      std::any_of(words.begin(), words.end(), [](const scene::DrawnText* t) { return t->halo; });
  for (const bool halo : {true, false}) {
    if (words.empty() || (halo && !halos)) continue;
    const auto over = add_renderer(v, width, height, window);
    for (const scene::DrawnText* text : words)
      if (!halo || text->halo) add_words(*text, halo, frame, v.x0, v.y0, over);
  }
}

// By libpng itself: VTK's image module brings in a library for another kind of image with a GPL part.
void write_png(vtkImageData* pixels, const std::string& to, const std::string& named) {
  const int* size = pixels->GetDimensions();
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(size[0]);
  image.height = static_cast<png_uint_32>(size[1]);
  image.format = PNG_FORMAT_RGB;
  const int row = -3 * size[0];  // from the bottom up
  const int done = png_image_write_to_file(&image, to.c_str(), 0, pixels->GetScalarPointer(), row, nullptr);
  png_image_free(&image);
  if (done == 0) throw base::UserError("cannot write " + named, "check free disk space");
}

}  // namespace

int find_height(const scene::Scene& scene, int width, const scene::Page& page) {
  const scene::Drawing drawing = lay_out(scene, page);
  return static_cast<int>(std::lround(width * drawing.height / drawing.width));
}

std::string draw_png(const scene::Scene& scene, const std::string& path, int width, int height,
                     const scene::Page& page) {
  if (width < 16 || height < 16)
    throw base::UserError(fmt::format("a picture of {} x {} pixels is too small", width, height),
                          "ask for at least 16 x 16");
  const scene::Drawing drawing = lay_out(scene, page);
  scene::find_font(true);
  scene::find_font(false);
  scene::OutputFile file(path);
  const int side = find_largest_side();
  if (kFiner * std::max(width, height) > side)
    throw base::UserError(
        fmt::format("a picture of {} x {} pixels is too large for this machine", width, height),
        fmt::format("ask for at most {0} x {0}, or draw SVG or PDF", side / kFiner));
  const int w = kFiner * width, h = kFiner * height;
  Frame frame{std::min(w / drawing.width, h / drawing.height), 0, 0};
  frame.left = 0.5 * (w - frame.per_mm * drawing.width);
  frame.bottom = 0.5 * (h - frame.per_mm * drawing.height);

  vtkSmartPointer<vtkRenderWindow> window = open_headless_window(w, h);
  add_layer(scene::Layer{}, frame, w, h, window);  // the paper
  for (const scene::Layer& layer : drawing.layers) add_layer(layer, frame, w, h, window);
  window->Render();

  vtkNew<vtkWindowToImageFilter> image;
  image->SetInput(window);
  image->ReadFrontBufferOff();
  image->ShouldRerenderOff();
  vtkNew<vtkImageShrink3D> average;
  average->SetInputConnection(image->GetOutputPort());
  average->SetShrinkFactors(kFiner, kFiner, 1);
  average->AveragingOn();
  average->Update();
  write_png(average->GetOutput(), file.part_path(), path);
  window->Finalize();  // gives the graphics memory back
  file.keep();
  return path;
}

}  // namespace leverwright::vtk

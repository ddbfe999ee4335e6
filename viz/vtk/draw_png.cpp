#include "viz/vtk/draw_png.h"

#include <fmt/format.h>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkErrorCode.h>
#include <vtkImageShrink3D.h>
#include <vtkNew.h>
#include <vtkPNGWriter.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
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

void add_words(const scene::DrawnText& text, const Frame& frame, double view_left, double view_bottom,
               vtkRenderer* renderer) {
  const double size = text.size * frame.per_mm, turn = text.angle_deg * base::kDegree;
  const double x = frame.left + text.at.x() * frame.per_mm - view_left + kDescent * size * std::sin(turn);
  const double y = frame.bottom + text.at.y() * frame.per_mm - view_bottom - kDescent * size * std::cos(turn);
  const std::string font = scene::find_font(text.bold);
  const auto put = [&](double dx, double dy, const scene::Rgb& colour, int layer) {
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
    actor->SetPosition(x + dx, y + dy);
    actor->SetLayerNumber(layer);
    renderer->AddActor2D(actor);
  };
  if (text.halo)
    for (int i = 0; i < 12; ++i)
      put(0.14 * size * std::cos(i * base::kPi / 6), 0.14 * size * std::sin(i * base::kPi / 6), {1, 1, 1}, 0);
  put(0, 0, text.colour, 1);
}

void add_layer(const scene::Layer& layer, int index, const Frame& frame, int width, int height,
               vtkRenderWindow* window) {
  // Whole pixels, so that the camera and the viewport agree exactly.
  int x0 = 0, y0 = 0, x1 = width, y1 = height;
  if (layer.clip) {
    x0 = std::clamp(static_cast<int>(std::lround(frame.left + layer.clip->x0 * frame.per_mm)), 0, width - 1);
    y0 = std::clamp(static_cast<int>(std::lround(frame.bottom + layer.clip->y0 * frame.per_mm)), 0,
                    height - 1);
    x1 = std::clamp(static_cast<int>(std::lround(frame.left + layer.clip->x1 * frame.per_mm)), x0 + 1, width);
    y1 = std::clamp(static_cast<int>(std::lround(frame.bottom + layer.clip->y1 * frame.per_mm)), y0 + 1,
                    height);
  }
  vtkNew<vtkRenderer> renderer;
  renderer->SetViewport(static_cast<double>(x0) / width, static_cast<double>(y0) / height,
                        static_cast<double>(x1) / width, static_cast<double>(y1) / height);
  renderer->SetLayer(index);
  renderer->SetBackground(1, 1, 1);
  renderer->InteractiveOff();

  Mesh opaque, clear;
  std::vector<const scene::DrawnText*> words;
  double depth = 0;
  for (const scene::Drawn& item : layer.items) std::visit(Collect{opaque, clear, words, depth}, item);
  opaque.put_into(renderer);
  clear.put_into(renderer);
  for (const scene::DrawnText* text : words) add_words(*text, frame, x0, y0, renderer);

  const double cx = (0.5 * (x0 + x1) - frame.left) / frame.per_mm,
               cy = (0.5 * (y0 + y1) - frame.bottom) / frame.per_mm;
  vtkCamera* camera = renderer->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetParallelScale(0.5 * (y1 - y0) / frame.per_mm);
  camera->SetFocalPoint(cx, cy, 0);
  camera->SetPosition(cx, cy, depth + 1);
  camera->SetViewUp(0, 1, 0);
  camera->SetClippingRange(0.5, depth + 2);
  window->AddRenderer(renderer);
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
  window->SetNumberOfLayers(static_cast<int>(drawing.layers.size()) + 1);
  add_layer(scene::Layer{}, 0, frame, w, h, window);  // the paper
  for (size_t i = 0; i < drawing.layers.size(); ++i)
    add_layer(drawing.layers[i], static_cast<int>(i) + 1, frame, w, h, window);
  window->Render();

  vtkNew<vtkWindowToImageFilter> image;
  image->SetInput(window);
  image->ReadFrontBufferOff();
  image->ShouldRerenderOff();
  vtkNew<vtkImageShrink3D> average;
  average->SetInputConnection(image->GetOutputPort());
  average->SetShrinkFactors(kFiner, kFiner, 1);
  average->AveragingOn();
  vtkNew<vtkPNGWriter> writer;
  writer->SetFileName(file.part_path().c_str());
  writer->SetInputConnection(average->GetOutputPort());
  writer->Write();
  if (writer->GetErrorCode() != vtkErrorCode::NoError)
    throw base::UserError("cannot write " + path, "check free disk space");
  file.keep();
  return path;
}

}  // namespace leverwright::vtk

#include "viz/vtk/watch_window.h"

#include <X11/Xlib.h>
#include <fmt/format.h>
#include <vtkActor2D.h>
#include <vtkCallbackCommand.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkCoordinate.h>
#include <vtkInteractorStyle.h>
#include <vtkNew.h>
#include <vtkObjectFactory.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper2D.h>
#include <vtkProperty2D.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkXOpenGLRenderWindow.h>
#include <vtkXRenderWindowInteractor.h>

#include <chrono>
#include <cmath>
#include <memory>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/scene/output_file.h"
#include "viz/vtk/solid_picture.h"

namespace leverwright::vtk {
namespace {

using Clock = std::chrono::steady_clock;
constexpr double kBar = 0.06;  // of the window's height: where a press scrubs
constexpr double kStep = 0.5e-3;
constexpr const char* kKeys =
    "space: play or hold   left, right: 0.5 ms   n, p: next, previous event   up, down: faster, slower\n"
    "g: ghost   s: square from the side   left button: turn   right or wheel: zoom   middle: shift   q: close";

void need_display() {
  Display* display = XOpenDisplay(nullptr);
  if (display == nullptr)
    throw base::UserError("there is no display to open a window on",
                          "run it where windows can be shown, or make a film with 'film'");
  XCloseDisplay(display);
}

class Window {
 public:
  explicit Window(const WatchRequest& request)
      : request_(request), player_(request.from, request.to, request.events) {
    player_.set_slow(request.slow);
    window_->SetSize(request.width, request.height);
    window_->SetWindowName(request.title.c_str());
    window_->SetMultiSamples(0);
    window_->AddRenderer(renderer_);
    look_.view = scene::Box{};
    scene::ActionMoment rest;
    rest.poses = scene::find_poses(request.strokes.front().motion, request.from);
    scene::ActionSceneOptions plain;
    plain.compress = false;
    look_.view = build_action_scene(request.strokes.front().motion.shape, rest, plain).view;
    look_.turned_deg = 14;
    look_.raised_deg = 8;
    look_.millimetres_per_newton = 4;
    set_up_renderer(renderer_, look_, static_cast<double>(request.width) / request.height);
    action_ = std::make_unique<SolidAction>(request.strokes.front().motion.shape, renderer_, look_);
    show_ghost(request.strokes.size() > 1);
    add_words(&clock_, 0.02, 0.95, 22);
    add_words(&help_, 0.02, 0.075, 14);
    help_->SetInput(kKeys);
    add_bar();
    player_.play(true);
  }

  long run();
  void key(const std::string& name);
  // A press or a move at this place of the window; true when it is on the bar.
  bool scrub(int x, int y) {
    const int* size = window_->GetSize();
    if (y > kBar * size[1]) return false;
    player_.scrub(static_cast<double>(x) / std::max(1, size[0]));
    draw();
    return true;
  }
  void tick();
  void turn(double about_upright, double up);  // degrees
  void zoom(double times);
  void shift(double x, double y);  // pixels

 private:
  void add_words(vtkSmartPointer<vtkTextActor>* out, double x, double y, int size) {
    *out = vtkSmartPointer<vtkTextActor>::New();
    vtkTextActor* actor = *out;
    vtkTextProperty* look = actor->GetTextProperty();
    look->SetFontFamily(VTK_FONT_FILE);
    look->SetFontFile(scene::find_font(false).c_str());
    look->SetFontSize(size);
    look->SetColor(0.1, 0.1, 0.15);
    actor->GetPositionCoordinate()->SetCoordinateSystemToNormalizedDisplay();
    actor->SetPosition(x, y);
    renderer_->AddActor2D(actor);
  }
  void add_bar() {
    vtkNew<vtkCoordinate> place;
    place->SetCoordinateSystemToNormalizedDisplay();
    vtkNew<vtkPolyDataMapper2D> mapper;
    mapper->SetInputData(bar_);
    mapper->SetTransformCoordinate(place);
    vtkNew<vtkActor2D> actor;
    actor->SetMapper(mapper);
    actor->GetProperty()->SetColor(0.15, 0.3, 0.65);
    renderer_->AddActor2D(actor);
  }
  void show_ghost(bool on) {
    if (!on || request_.strokes.size() < 2) {
      ghost_on_ = false;
      return;
    }
    if (!ghost_)
      ghost_ = std::make_unique<SolidAction>(request_.strokes[1].motion.shape, renderer_, look_,
                                             scene::set_up_role(1));
    ghost_on_ = true;
  }
  void draw();

  const WatchRequest& request_;
  Player player_;
  SolidLook look_;
  vtkNew<vtkXOpenGLRenderWindow> window_;
  vtkNew<vtkRenderer> renderer_;
  vtkNew<vtkXRenderWindowInteractor> hands_;
  vtkNew<vtkPolyData> bar_;
  vtkSmartPointer<vtkTextActor> clock_, help_;
  std::unique_ptr<SolidAction> action_, ghost_;
  bool ghost_on_ = false;
  long shown_ = 0;
  Clock::time_point last_ = Clock::now(), began_ = Clock::now();
};

// The hand on the mouse. VTK's own styles lie in a module that brings in a message-passing library.
class Style : public vtkInteractorStyle {
 public:
  static Style* New();
  // clang-format off
  vtkTypeMacro(Style, vtkInteractorStyle)
      // clang-format on
      Window* window = nullptr;
  void OnLeftButtonDown() override {
    const int* at = Interactor->GetEventPosition();
    doing_ = window->scrub(at[0], at[1]) ? Doing::kScrub : Doing::kTurn;
  }
  void OnRightButtonDown() override { doing_ = Doing::kZoom; }
  void OnMiddleButtonDown() override { doing_ = Doing::kShift; }
  void OnLeftButtonUp() override { doing_ = Doing::kNothing; }
  void OnRightButtonUp() override { doing_ = Doing::kNothing; }
  void OnMiddleButtonUp() override { doing_ = Doing::kNothing; }
  void OnMouseWheelForward() override { window->zoom(1.1); }
  void OnMouseWheelBackward() override { window->zoom(1 / 1.1); }
  void OnMouseMove() override {
    const int *at = Interactor->GetEventPosition(), *before = Interactor->GetLastEventPosition();
    const double x = at[0] - before[0], y = at[1] - before[1];
    if (doing_ == Doing::kScrub) window->scrub(at[0], at[1]);
    if (doing_ == Doing::kTurn) window->turn(-0.4 * x, -0.4 * y);
    if (doing_ == Doing::kZoom) window->zoom(std::exp(0.01 * y));
    if (doing_ == Doing::kShift) window->shift(-x, -y);
  }
  void OnChar() override {}  // VTK's own letters are not ours
  void OnKeyPress() override { window->key(Interactor->GetKeySym()); }

 private:
  enum class Doing { kNothing, kScrub, kTurn, kZoom, kShift };
  Doing doing_ = Doing::kNothing;
};
vtkStandardNewMacro(Style);

void Window::draw() {
  const double t = player_.time();
  action_->show(scene::find_moment(request_.strokes.front().motion, t, 0.15));
  if (ghost_ && ghost_on_) ghost_->show(scene::find_moment(request_.strokes[1].motion, t, 0.15));
  const std::string event = player_.event();
  clock_->SetInput(fmt::format("{}   {:.1f} ms   {:g} times slower{}{}", request_.title, 1e3 * t,
                               player_.slow(), event.empty() ? "" : "   last: ", event)
                       .c_str());
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> bars;
  const double now = player_.share();
  const auto box = [&](double x0, double y0, double x1, double y1) {
    const vtkIdType first = points->GetNumberOfPoints();
    for (const auto& [x, y] : {std::pair(x0, y0), std::pair(x1, y0), std::pair(x1, y1), std::pair(x0, y1)})
      points->InsertNextPoint(x, y, 0);
    const vtkIdType ids[] = {first, first + 1, first + 2, first + 3};
    bars->InsertNextCell(4, ids);
  };
  box(0, 0.012, now, 0.03);
  box(now - 0.003, 0.002, now + 0.003, 0.045);
  for (const NamedTime& e : request_.events) {
    const double at = (e.at - request_.from) / (request_.to - request_.from);
    if (at >= 0 && at <= 1) box(at - 0.0007, 0.002, at + 0.0007, 0.035);
  }
  bar_->SetPoints(points);
  bar_->SetPolys(bars);
  renderer_->ResetCameraClippingRange();
  window_->Render();
  ++shown_;
}

void Window::key(const std::string& name) {
  if (name == "space") player_.play(!player_.playing());
  if (name == "Right") player_.step(kStep);
  if (name == "Left") player_.step(-kStep);
  if (name == "n") player_.next_event();
  if (name == "p") player_.last_event();
  if (name == "Up") player_.faster();
  if (name == "Down") player_.slower();
  if (name == "s") {
    SolidLook square = look_;
    square.turned_deg = square.raised_deg = 0;
    const int* size = window_->GetSize();
    set_up_renderer(renderer_, square, static_cast<double>(size[0]) / std::max(1, size[1]));
  }
  if (name == "g" && ghost_) {
    ghost_on_ = !ghost_on_;
    ghost_->hide(!ghost_on_);
  }
  if (name == "q" || name == "Escape") hands_->TerminateApp();
  draw();
}

void Window::turn(double about_upright, double up) {
  vtkCamera* eye = renderer_->GetActiveCamera();
  eye->Azimuth(about_upright);
  eye->Elevation(up);
  eye->OrthogonalizeViewUp();
  draw();
}

void Window::zoom(double times) {
  renderer_->GetActiveCamera()->Dolly(times);
  draw();
}

void Window::shift(double x, double y) {
  vtkCamera* eye = renderer_->GetActiveCamera();
  const double high = 2 * eye->GetDistance() * std::tan(0.5 * eye->GetViewAngle() * base::kDegree);
  const double mm = high / std::max(1, window_->GetSize()[1]);
  double at[3], to[3];
  eye->GetPosition(at);
  eye->GetFocalPoint(to);
  eye->SetPosition(at[0] + mm * x, at[1] + mm * y, at[2]);
  eye->SetFocalPoint(to[0] + mm * x, to[1] + mm * y, to[2]);
  draw();
}

void Window::tick() {
  const Clock::time_point now = Clock::now();
  player_.wall_clock(std::chrono::duration<double>(now - last_).count());
  last_ = now;
  draw();
  if (request_.close_after > 0 && std::chrono::duration<double>(now - began_).count() >= request_.close_after)
    hands_->TerminateApp();
}

long Window::run() {
  hands_->SetRenderWindow(window_);
  vtkNew<Style> style;
  style->window = this;
  hands_->SetInteractorStyle(style);
  hands_->Initialize();
  vtkNew<vtkCallbackCommand> on_time;
  on_time->SetClientData(this);
  on_time->SetCallback(
      [](vtkObject*, unsigned long, void* self, void*) { static_cast<Window*>(self)->tick(); });
  hands_->AddObserver(vtkCommand::TimerEvent, on_time);
  hands_->CreateRepeatingTimer(40);
  draw();
  hands_->Start();
  return shown_;
}

}  // namespace

long watch(const WatchRequest& request) {
  need_display();
  vtkObject::GlobalWarningDisplayOff();  // VTK warns of the style it would have, before it is given ours
  Window window(request);
  const long shown = window.run();
  vtkObject::GlobalWarningDisplayOn();
  return shown;
}

}  // namespace leverwright::vtk

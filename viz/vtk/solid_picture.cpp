#include "viz/vtk/solid_picture.h"

#include <fmt/format.h>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCameraPass.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkLight.h>
#include <vtkLightsPass.h>
#include <vtkMatrix4x4.h>
#include <vtkNew.h>
#include <vtkOpaquePass.h>
#include <vtkOpenGLFXAAPass.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>
#include <vtkRenderPassCollection.h>
#include <vtkRenderStepsPass.h>
#include <vtkRenderWindow.h>
#include <vtkRenderer.h>
#include <vtkSSAOPass.h>
#include <vtkSequencePass.h>
#include <vtkShadowMapBakerPass.h>
#include <vtkShadowMapPass.h>
#include <vtkUnsignedCharArray.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/vtk/headless_window.h"
#include "viz/vtk/solids.h"

namespace leverwright::vtk {
namespace {

using scene::Point;
using scene::Rgb;
using scene::Role;

constexpr double kMm = 1e3;

struct Material {
  Rgb colour;
  double diffuse, specular, shine;
};

// Spruce, maple, pear, felt, cloth, leather, brass, steel, lead: as a workshop has them.
Material find_material(const Solid& s) {
  const Material brass{{0.80, 0.62, 0.28}, 0.85, 0.55, 35}, steel{{0.66, 0.69, 0.73}, 0.85, 0.6, 45},
      lead{{0.42, 0.44, 0.47}, 0.9, 0.15, 8};
  const auto is = [&](const char* word) { return s.name.find(word) != std::string::npos; };
  if (s.role == Role::kMetal)
    return is("capstan") || is("pin") || is("centre") || is("spoon") ? brass : is("lead ") ? lead : steel;
  switch (s.role) {
    case Role::kKeyWood:
      return {{0.91, 0.79, 0.58}, 1, 0.06, 6};
    case Role::kWippenWood:
      return {{0.84, 0.68, 0.45}, 1, 0.08, 8};
    case Role::kJack:
      return {{0.72, 0.50, 0.32}, 1, 0.08, 8};
    case Role::kLever:
      return {{0.79, 0.66, 0.46}, 1, 0.08, 8};
    case Role::kHammer:
      return {{0.95, 0.93, 0.87}, 1, 0.02, 2};
    case Role::kFelt:
      return {{0.68, 0.20, 0.22}, 1, 0, 1};
    case Role::kLeather:
      return {{0.80, 0.66, 0.52}, 1, 0.03, 3};
    case Role::kString:
      return steel;
    case Role::kRail:
      return {{0.62, 0.47, 0.33}, 1, 0.05, 6};
    default:
      return {scene::rgb(s.role), 1, 0, 1};
  }
}

vtkSmartPointer<vtkPolyData> make_mesh(const std::vector<Corner>& corners) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkFloatArray> normals;
  normals->SetNumberOfComponents(3);
  vtkNew<vtkCellArray> triangles;
  points->SetNumberOfPoints(static_cast<vtkIdType>(corners.size()));
  normals->SetNumberOfTuples(static_cast<vtkIdType>(corners.size()));
  for (size_t k = 0; k < corners.size(); ++k) {
    const auto id = static_cast<vtkIdType>(k);
    points->SetPoint(id, kMm * corners[k].at[0], kMm * corners[k].at[1], kMm * corners[k].at[2]);
    normals->SetTuple(id, corners[k].normal.data());
    if (k % 3 == 2) {
      const vtkIdType ids[] = {id - 2, id - 1, id};
      triangles->InsertNextCell(3, ids);
    }
  }
  auto out = vtkSmartPointer<vtkPolyData>::New();
  out->SetPoints(points);
  out->GetPointData()->SetNormals(normals);
  out->SetPolys(triangles);
  return out;
}

vtkSmartPointer<vtkActor> make_actor(vtkPolyData* mesh, const Material& m) {
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(mesh);
  mapper->ScalarVisibilityOff();
  auto actor = vtkSmartPointer<vtkActor>::New();
  actor->SetMapper(mapper);
  vtkProperty* p = actor->GetProperty();
  p->SetColor(m.colour.r, m.colour.g, m.colour.b);
  p->SetAmbient(0.25);
  p->SetDiffuse(m.diffuse);
  p->SetSpecular(m.specular);
  p->SetSpecularPower(m.shine);
  return actor;
}

// The edge of the face towards the eye, drawn as a fine line a hair before it.
vtkSmartPointer<vtkActor> make_edge(const Solid& s, const Rgb& colour) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> lines;
  lines->InsertNextCell(static_cast<int>(s.edge.size()) + 1);
  constexpr double kBefore = 0.06;  // mm
  for (const Point& p : s.edge)
    lines->InsertCellPoint(points->InsertNextPoint(kMm * p.x(), kMm * p.y(), kMm * s.edge_z + kBefore));
  lines->InsertCellPoint(0);
  vtkNew<vtkPolyData> mesh;
  mesh->SetPoints(points);
  mesh->SetLines(lines);
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(mesh);
  auto actor = vtkSmartPointer<vtkActor>::New();
  actor->SetMapper(mapper);
  actor->GetProperty()->SetColor(0.45 * colour.r, 0.45 * colour.g, 0.45 * colour.b);
  actor->GetProperty()->LightingOff();
  actor->GetProperty()->SetLineWidth(1);
  return actor;
}

// An arrow that ends at the contact's place: a shaft and a cone.
void add_arrow(const Point& tail, const Point& tip, double depth, std::vector<Corner>* out) {
  const Point way = tip - tail;
  const double length = way.norm(), head = std::min(4.5e-3, 0.6 * length);
  if (length < 1e-4) return;
  const Point along = way / length, side = base::perp(along), neck = tip - head * along;
  std::vector<Corner> made = build_rod(tail, neck, 0.7e-3);
  constexpr int kPieces = 20;
  for (int k = 0; k < kPieces; ++k) {
    const auto rim = [&](int i) -> Corner {
      const double turn = 2 * base::kPi * i / kPieces, r = 1.8e-3;
      const Point at = neck + r * std::cos(turn) * side;
      return {
          {static_cast<float>(at.x()), static_cast<float>(at.y()), static_cast<float>(r * std::sin(turn))},
          {static_cast<float>(std::cos(turn) * side.x()), static_cast<float>(std::cos(turn) * side.y()),
           static_cast<float>(std::sin(turn))}};
    };
    Corner point = rim(k), a = rim(k), b = rim(k + 1);
    point.at = {static_cast<float>(tip.x()), static_cast<float>(tip.y()), 0};
    made.insert(made.end(), {point, a, b});
  }
  for (Corner& c : made) c.at[2] += static_cast<float>(depth);
  out->insert(out->end(), made.begin(), made.end());
}

}  // namespace

struct SolidAction::Inside {
  scene::ActionShape shape;
  SolidLook look;
  bool ghost = false;
  std::vector<vtkSmartPointer<vtkActor>> actors;
  std::vector<int> bodies;                                // of each actor
  vtkSmartPointer<vtkActor> springs, normals, frictions;  // made anew for each moment

  static void remake(vtkActor* actor, const std::vector<Corner>& corners) {
    vtkPolyDataMapper::SafeDownCast(actor->GetMapper())->SetInputData(make_mesh(corners));
    actor->SetVisibility(corners.empty() ? 0 : 1);
  }
};

SolidAction::SolidAction(const scene::ActionShape& shape, vtkRenderer* into, const SolidLook& look,
                         std::optional<Role> ghost)
    : in_(std::make_unique<Inside>()) {
  in_->shape = shape;
  in_->look = look;
  in_->ghost = ghost.has_value();
  const auto add = [&](vtkActor* actor) {
    if (ghost) {
      const Rgb c = scene::rgb(*ghost);
      actor->GetProperty()->SetColor(c.r, c.g, c.b);
      actor->GetProperty()->SetOpacity(0.35);
      actor->GetProperty()->SetSpecular(0);
    }
    into->AddActor(actor);
  };
  for (const Solid& s : build_solids(shape)) {
    if (ghost && s.body == 0) continue;
    if (ghost) {  // its edges alone: two bodies in one place would flicker
      if (s.edge.size() < 3) continue;
      const Rgb c = scene::rgb(*ghost);
      auto edge = make_edge(s, c);
      edge->GetProperty()->SetColor(c.r, c.g, c.b);
      edge->GetProperty()->SetLineWidth(2);
      into->AddActor(edge);
      in_->actors.push_back(edge);
      in_->bodies.push_back(s.body);
      continue;
    }
    auto actor = make_actor(make_mesh(s.corners), find_material(s));
    add(actor);
    in_->actors.push_back(actor);
    in_->bodies.push_back(s.body);
    if (s.edge.size() < 3) continue;
    in_->actors.push_back(make_edge(s, find_material(s).colour));
    in_->bodies.push_back(s.body);
    into->AddActor(in_->actors.back());
  }
  const Solid steel{"spring", 0, Role::kString, {}, 0, {}}, force{"force", 0, Role::kForce, {}, 0, {}},
      friction{"friction", 0, Role::kFriction, {}, 0, {}};
  in_->springs = make_actor(make_mesh({}), find_material(steel));
  in_->normals = make_actor(make_mesh({}), find_material(force));
  in_->frictions = make_actor(make_mesh({}), find_material(friction));
  for (vtkActor* a : {in_->normals.Get(), in_->frictions.Get()}) a->GetProperty()->SetAmbient(0.7);
  add(in_->springs);
  if (ghost) return;
  into->AddActor(in_->normals);
  into->AddActor(in_->frictions);
}

SolidAction::~SolidAction() = default;

void SolidAction::hide(bool hidden) {
  for (vtkActor* a : in_->actors) a->SetVisibility(hidden ? 0 : 1);
  for (vtkActor* a : {in_->springs.Get(), in_->normals.Get(), in_->frictions.Get()})
    a->SetVisibility(hidden ? 0 : 1);
}

void SolidAction::show(const scene::ActionMoment& m) {
  for (size_t k = 0; k < in_->actors.size(); ++k) {
    const scene::Pose& p = m.poses[static_cast<size_t>(in_->bodies[k])];
    const double c = std::cos(p.theta), s = std::sin(p.theta);
    vtkNew<vtkMatrix4x4> place;
    place->SetElement(0, 0, c);
    place->SetElement(0, 1, -s);
    place->SetElement(1, 0, s);
    place->SetElement(1, 1, c);
    place->SetElement(0, 3, kMm * p.x);
    place->SetElement(1, 3, kMm * p.y);
    in_->actors[k]->SetUserMatrix(place);
  }
  std::vector<Corner> springs, normals, frictions;
  for (const scene::SpringShape& spring : in_->shape.springs) {
    const std::vector<Corner> rod =
        build_rod(scene::place(m.poses[static_cast<size_t>(spring.body_a)], spring.on_a),
                  scene::place(m.poses[static_cast<size_t>(spring.body_b)], spring.on_b), 0.45e-3);
    springs.insert(springs.end(), rod.begin(), rod.end());
  }
  Inside::remake(in_->springs, springs);
  if (in_->ghost || !(in_->look.millimetres_per_newton > 0)) return;
  constexpr double kBefore = 15e-3;  // nearer the eye than any part
  const double metres = 1e-3 * in_->look.millimetres_per_newton;
  for (const scene::ContactSign& c : m.contacts) {
    const Point normal = c.normal ? *c.normal : c.force, friction = c.force - normal;
    if (normal.norm() > in_->look.force_floor) add_arrow(c.at, c.at + metres * normal, kBefore, &normals);
    if (c.normal && friction.norm() > in_->look.force_floor / in_->look.friction_times)
      add_arrow(c.at, c.at + metres * in_->look.friction_times * friction, kBefore, &frictions);
  }
  Inside::remake(in_->normals, normals);
  Inside::remake(in_->frictions, frictions);
}

void set_up_renderer(vtkRenderer* renderer, const SolidLook& look, double width_over_height) {
  renderer->SetBackground(0.93, 0.94, 0.95);
  renderer->SetBackground2(1, 1, 1);
  renderer->GradientBackgroundOn();
  renderer->RemoveAllLights();
  renderer->AutomaticLightCreationOff();
  const auto lamp = [&](double x, double y, double z, double strength) {
    vtkNew<vtkLight> light;
    const Point middle = look.view.centre();
    light->SetLightTypeToSceneLight();
    light->SetPositional(false);
    light->SetFocalPoint(middle.x(), middle.y(), 0);
    light->SetPosition(middle.x() + x, middle.y() + y, z);
    light->SetIntensity(strength);
    renderer->AddLight(light);
  };
  const int lamps = std::max(1, look.shadows);
  for (int k = 0; k < lamps; ++k) {
    const double turn = 2 * base::kPi * k / lamps, away = lamps > 1 ? 45 : 0;
    lamp(-260 + away * std::cos(turn), 420 + away * std::sin(turn), 620, 0.62 / lamps);
  }
  if (look.shadows == 0) lamp(200, 60, 500, 0.3);  // from the front, so that faces towards the eye are lit

  // A long lens: perspective so slight that lengths in the picture stay comparable.
  vtkCamera* camera = renderer->GetActiveCamera();
  const Point middle = look.view.centre();
  const double high = std::max(look.view.height(), look.view.width() / width_over_height);
  const double angle = 6 * base::kDegree, away = 0.5 * high / std::tan(0.5 * angle);
  const double turn = look.turned_deg * base::kDegree, lift = look.raised_deg * base::kDegree;
  camera->SetFocalPoint(middle.x(), middle.y(), 0);
  camera->SetPosition(middle.x() - away * std::cos(lift) * std::sin(turn), middle.y() + away * std::sin(lift),
                      away * std::cos(lift) * std::cos(turn));
  camera->SetViewUp(0, 1, 0);
  camera->SetViewAngle(angle / base::kDegree);
  camera->SetClippingRange(away - 400, away + 400);

  vtkSmartPointer<vtkRenderPass> pass;
  if (look.shadows > 0) {
    vtkNew<vtkShadowMapPass> shadows;
    vtkNew<vtkShadowMapBakerPass> baker;
    baker->SetResolution(2048);
    shadows->SetShadowMapBakerPass(baker);
    vtkNew<vtkOpaquePass> opaque;
    vtkNew<vtkLightsPass> lights;
    vtkNew<vtkRenderPassCollection> passes;
    passes->AddItem(baker);
    passes->AddItem(lights);
    passes->AddItem(opaque);
    passes->AddItem(shadows);
    vtkNew<vtkSequencePass> sequence;
    sequence->SetPasses(passes);
    vtkNew<vtkCameraPass> seen;
    seen->SetDelegatePass(sequence);
    pass = seen;
  } else {
    pass = vtkSmartPointer<vtkRenderStepsPass>::New();
  }
  if (look.occlusion) {
    vtkNew<vtkSSAOPass> occlusion;
    occlusion->SetRadius(9);  // mm
    occlusion->SetBias(1.2);
    occlusion->SetKernelSize(24);
    occlusion->BlurOn();
    occlusion->SetDelegatePass(pass);
    pass = occlusion;
  }
  if (look.smooth) {
    vtkNew<vtkOpenGLFXAAPass> smooth;
    smooth->SetDelegatePass(pass);
    pass = smooth;
  }
  renderer->SetPass(pass);
}

struct SolidPicture::Inside {
  int width = 0, height = 0;
  SolidLook look;
  vtkSmartPointer<vtkRenderWindow> window;
  vtkNew<vtkRenderer> renderer;
  std::unique_ptr<SolidAction> action, ghost;
  vtkNew<vtkUnsignedCharArray> read;
  std::vector<unsigned char> pixels;
};

SolidPicture::SolidPicture(const scene::ActionShape& shape, int width, int height, const SolidLook& look)
    : in_(std::make_unique<Inside>()) {
  const int side = find_largest_side();
  if (width < 16 || height < 16 || std::max(width, height) > side)
    throw base::UserError(fmt::format("a picture of {} x {} pixels cannot be drawn here", width, height),
                          fmt::format("use 16 x 16 to {0} x {0}", side));
  in_->width = width;
  in_->height = height;
  in_->look = look;
  in_->window = open_headless_window(width, height);
  in_->window->SetMultiSamples(look.occlusion || look.shadows > 0 ? 0 : 4);
  in_->window->AddRenderer(in_->renderer);
  set_up_renderer(in_->renderer, look, static_cast<double>(width) / height);
  in_->action = std::make_unique<SolidAction>(shape, in_->renderer, look);
  in_->pixels.resize(4 * static_cast<size_t>(width) * static_cast<size_t>(height));
}

SolidPicture::~SolidPicture() {
  in_->action.reset();
  in_->ghost.reset();
  in_->window->Finalize();
}

void SolidPicture::add_ghost(const scene::ActionShape& shape, Role colour) {
  in_->ghost = std::make_unique<SolidAction>(shape, in_->renderer, in_->look, colour);
}

const std::vector<unsigned char>& SolidPicture::draw(const scene::ActionMoment& moment,
                                                     const scene::ActionMoment* ghost) {
  in_->action->show(moment);
  if (ghost != nullptr && in_->ghost) in_->ghost->show(*ghost);
  in_->window->Render();
  in_->window->GetPixelData(0, 0, in_->width - 1, in_->height - 1, 0, in_->read);
  const unsigned char* from = in_->read->GetPointer(0);  // rows from the bottom, three bytes a pixel
  const auto w = static_cast<size_t>(in_->width), h = static_cast<size_t>(in_->height);
  for (size_t y = 0; y < h; ++y)
    for (size_t x = 0; x < w; ++x) {
      const unsigned char* p = from + 3 * ((h - 1 - y) * w + x);
      unsigned char* to = in_->pixels.data() + 4 * (y * w + x);
      to[0] = p[2];
      to[1] = p[1];
      to[2] = p[0];
      to[3] = 255;
    }
  return in_->pixels;
}

}  // namespace leverwright::vtk

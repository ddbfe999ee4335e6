// The action as solid bodies in light: square from the side or turned a little, with ambient occlusion, soft shadow
// and smooth edges, drawn into memory without a display or a graphics card.
#pragma once
#include <memory>
#include <vector>

#include "viz/scene/action_scene.h"

class vtkRenderer;

namespace leverwright::vtk {

struct SolidLook {
  scene::Box view;                    // of the action plane, mm: what fits into the picture
  double turned_deg = 0;              // of the eye, about the upright: positive looks from the player's side
  double raised_deg = 0;              // of the eye above the level
  bool occlusion = true;              // light that corners keep out
  int shadows = 0;                    // lamps that throw a shadow; several near one another make it soft
  bool smooth = true;                 // edges
  double millimetres_per_newton = 0;  // arrows of the contact forces; 0: none
  double friction_times = 4;          // as in ActionSceneOptions
  double force_floor = 0.15;          // N
};

// What a renderer holds of one action: made once, moved from moment to moment. For pictures and for the window.
class SolidAction {
 public:
  // `ghost`: only its edges, in this colour, for a second set-up over the first.
  SolidAction(const scene::ActionShape& shape, vtkRenderer* into, const SolidLook& look,
              std::optional<scene::Role> ghost = std::nullopt);
  ~SolidAction();
  SolidAction(const SolidAction&) = delete;
  SolidAction& operator=(const SolidAction&) = delete;
  void show(const scene::ActionMoment& moment);
  void hide(bool hidden);

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

// Lamps, passes and camera of a renderer.
void set_up_renderer(vtkRenderer* renderer, const SolidLook& look, double width_over_height);

class SolidPicture {
 public:
  // UserError when this machine cannot draw or the picture is too large for it. Pixels.
  SolidPicture(const scene::ActionShape& shape, int width, int height, const SolidLook& look);
  ~SolidPicture();
  SolidPicture(const SolidPicture&) = delete;
  SolidPicture& operator=(const SolidPicture&) = delete;
  void add_ghost(const scene::ActionShape& shape, scene::Role colour);
  // Rows from the top, four bytes a pixel: blue, green, red, 255. The ghost's moment where there is one.
  const std::vector<unsigned char>& draw(const scene::ActionMoment& moment,
                                         const scene::ActionMoment* ghost = nullptr);

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace leverwright::vtk

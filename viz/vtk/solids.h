// The action's outlines as solid bodies: each piece reaches across the key as far as it is wide, screws and wires
// are turned. Metres, in the frames of their bodies; z across the key, towards the treble (the eye).
#pragma once
#include <array>
#include <string>
#include <vector>

#include "viz/scene/action_scene.h"

namespace leverwright::vtk {

struct Corner {
  std::array<float, 3> at{}, normal{};  // m; the normal points outwards, unit
};

struct Solid {
  std::string name;
  int body = 0;
  scene::Role role = scene::Role::kKeyWood;
  std::vector<scene::Point> edge;  // of the face towards the eye, m; empty for what is turned
  double edge_z = 0;               // where it lies across the key
  std::vector<Corner> corners;     // three for each triangle, anticlockwise seen from outside
};

// One solid for each piece that is a body, pins of the centres among them. Springs are not: they change their
// length (build_rod).
std::vector<Solid> build_solids(const scene::ActionShape& shape);

// A round rod from a to b (z = 0), for springs, wires and arrows' shafts.
std::vector<Corner> build_rod(const scene::Point& a, const scene::Point& b, double radius);

// Volume by the divergence theorem, m^3: positive when closed and every triangle faces outwards.
double find_volume(const Solid& solid);

}  // namespace leverwright::vtk

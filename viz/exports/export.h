// A stored stroke for other programs: a table, meshes over time, and a moving scene.
#pragma once
#include <string>
#include <vector>

#include "viz/study_file/motion.h"

namespace leverwright::exports {

// Every series of the stroke as one CSV table: names with units in the first line, as a person reads them.
std::string write_stroke_csv(const study_file::StoredStroke& stroke);

// stem_00000.vtp ... every `every` seconds, and stem.pvd that lists them with their times; mm, W. The files
// written.
std::vector<std::string> write_vtk(const study_file::StoredStroke& stroke, double every,
                                   const std::string& folder, const std::string& stem);

// glTF 2.0 (Khronos) with everything inside: one node a body at its joint under its parent, its outlines as
// flat triangles in metres, and an animation of the nodes' turning sampled every `every` seconds.
std::string write_gltf(const study_file::StoredStroke& stroke, double every);

}  // namespace leverwright::exports

#include "tests/viz/exports/read_gltf.h"

#include <vtkGLTFReader.h>
#include <vtkMultiBlockDataSet.h>
#include <vtkNew.h>

#include <stdexcept>

namespace leverwright::exports {

GltfCounts read_gltf(const std::string& path) {
  vtkNew<vtkGLTFReader> reader;
  reader->SetFileName(path.c_str());
  reader->SetFrameRate(100);
  reader->UpdateInformation();
  GltfCounts out;
  out.animations = static_cast<int>(reader->GetNumberOfAnimations());
  if (out.animations > 0) out.seconds = reader->GetAnimationDuration(0);
  reader->Update();
  vtkMultiBlockDataSet* all = reader->GetOutput();
  if (all == nullptr || all->GetNumberOfPoints() == 0)
    throw std::runtime_error(path + " could not be read as glTF");
  out.points = static_cast<long>(all->GetNumberOfPoints());
  double box[6];
  all->GetBounds(box);
  out.x_low = box[0];
  out.x_high = box[1];
  return out;
}

}  // namespace leverwright::exports

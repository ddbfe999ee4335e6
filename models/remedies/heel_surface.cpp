#include "models/remedies/heel_surface.h"

#include <algorithm>
#include <cmath>

namespace leverwright::remedies {

double heel_length(const ActionDesign& a) { return a.heel_x.back() - a.heel_x.front(); }

Vec2 heel_point(const ActionDesign& a, double x) {
  const double k = std::clamp((x - a.heel_x.front()) / action::kHeelSpacing, 0.0,
                              static_cast<double>(a.heel_x.size() - 1));
  return {x, -a.heel_h[static_cast<std::size_t>(k)]};
}

double heel_middle(const ActionDesign& a) { return 0.5 * (a.heel_x.front() + a.heel_x.back()); }

double cloth_path(const ActionDesign& a) {
  double sum = 0;
  for (std::size_t k = 1; k < a.heel_x.size(); ++k)
    sum += std::hypot(a.heel_x[k] - a.heel_x[k - 1], a.heel_h[k] - a.heel_h[k - 1]);
  return sum;
}

void scale_cushion(ActionDesign& a, double factor) {
  planar::Cloth& cloth = a.laws[action::kCapstanHeel].cloth;
  cloth = planar::Cloth(cloth.reference_force(), cloth.reference_compression() * factor, cloth.exponent(),
                        cloth.hysteresis(), cloth.damping_time(), cloth.loss_time());
}

double face_depth(const ActionDesign& d) {
  const double x = 0.5 * (d.lifting_face_from + d.lifting_face_to);
  const double spacing = d.heel_x.size() > 1 ? d.heel_x[1] - d.heel_x[0] : 1;
  const double at = (x - d.heel_x.front()) / spacing;
  const auto k = static_cast<std::size_t>(std::clamp(at, 0.0, static_cast<double>(d.heel_x.size() - 1)));
  return d.heel_h[k];
}

}  // namespace leverwright::remedies

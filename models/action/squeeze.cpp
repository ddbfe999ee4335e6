#include "models/action/squeeze.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "sim/base/error.h"

namespace leverwright::action {

double most_squeeze(const ActionDesign& d, ContactId place) {
  return place == kCapstanHeel ? std::min(kCushionOfCloth * d.heel_cloth_thickness, kThickestLayer)
                               : kThickestLayer;
}

Squeezed find_squeezed_through(const Action& a, const std::vector<run::StaticSample>& path) {
  for (const auto& s : path)
    for (int p = 0; p < kPlaceCount; ++p) {
      const int first = a.contact[static_cast<std::size_t>(p)];
      if (first < 0) continue;
      const auto place = static_cast<ContactId>(p);
      const double most = most_squeeze(a.design, place);
      const auto& contacts = a.mechanism.contacts;
      const std::string& group = contacts[static_cast<std::size_t>(first)]->group;
      for (std::size_t c = 0; c < contacts.size(); ++c)
        if (s.normal[c] > 0 && s.contact_points[c].depth > most && contacts[c]->group == group)
          return {true, place, s.contact_points[c].depth, most, s.travel};
    }
  return {};
}

std::string words_of(const Squeezed& s) {
  if (!s.through) return "";
  return fmt::format(
      "{} is squeezed by {:.1f} mm at {:.1f} mm of dip, more than there is to squeeze ({:.1f} mm). Look at what presses "
      "there, and at the cloth's test force and depth",
      kContactNames[static_cast<std::size_t>(s.place)], s.depth * 1e3, s.dip * 1e3, s.most * 1e3);
}

SqueezeGuard::SqueezeGuard(const Action& action)
    : action_(action), most_(action.mechanism.contacts.size(), std::numeric_limits<double>::infinity()) {
  const auto& m = action.mechanism;
  for (int p = 0; p < kPlaceCount; ++p) {
    const int first = action.contact[static_cast<std::size_t>(p)];
    if (first < 0) continue;
    for (std::size_t c = 0; c < most_.size(); ++c)
      if (m.group_of(static_cast<int>(c)) == m.group_of(first))
        most_[c] = most_squeeze(action.design, static_cast<ContactId>(p));
  }
}

void SqueezeGuard::hold(double t, const planar::Scratch& s) const {
  for (std::size_t c = 0; c < most_.size(); ++c)
    if (s.contact_points[c].depth > most_[c] && s.normal[c] > 0)
      throw base::Unstable(
          action_.mechanism.contacts[c]->group, t, "",
          fmt::format("squeezed by more than the {:.1f} mm there are to squeeze; look at what presses "
                      "there, and at the cloth's test force and depth",
                      most_[c] * 1e3));
}

}  // namespace leverwright::action

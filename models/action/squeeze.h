// How far a surface can be squeezed before there is no cloth left.
//
// A power law has no end: on paper a capstan sinks through cloth, wood and flange. What lies beyond the cloth is no
// answer, so a path or a stroke that goes there is refused by name.
#pragma once
#include <string>
#include <vector>

#include "models/action/action.h"
#include "sim/run/statics.h"

namespace leverwright::action {

inline constexpr double kThickestLayer =
    8e-3;  // cloth, felt or leather of an action; common practice, no source [m]
// The cushion is the heel cloth and what lies under it, taken as no thicker than the cloth itself.
inline constexpr double kCushionOfCloth = 2;

double most_squeeze(const ActionDesign& design, ContactId place);  // [m]

struct Squeezed {
  bool through = false;
  ContactId place = kCapstanHeel;
  double depth = 0, most = 0, dip = 0;  // [m]
};
// The first sample that goes through a surface, of a path going down or up.
Squeezed find_squeezed_through(const Action& action, const std::vector<run::StaticSample>& path);
std::string words_of(const Squeezed& squeezed);  // "" when nothing is

// The same of a stroke: a recorder asks after each step.
class SqueezeGuard {
 public:
  explicit SqueezeGuard(const Action& action);
  // base::Unstable, with the surface as culprit, when one is squeezed through.
  void hold(double t, const planar::Scratch& s) const;

 private:
  const Action& action_;
  std::vector<double>
      most_;  // per contact [m]; infinite for what is no surface of the action (a finger's pad)
};

}  // namespace leverwright::action

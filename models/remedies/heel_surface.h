// The heel's cloth surface: a height below the wippen centre on an even grid along the wippen
// (ActionDesign::heel_x, heel_h), and the cushion's law under it. Every remedy of the heel works on these.
#pragma once
#include <vector>

#include "models/action/design.h"

namespace leverwright::remedies {

using action::ActionDesign;
using base::Vec2;

double heel_length(const ActionDesign& a);         // m
Vec2 heel_point(const ActionDesign& a, double x);  // of the surface, wippen frame
double heel_middle(const ActionDesign& a);         // x of the middle of the cloth
double cloth_path(const ActionDesign& a);          // length of the cloth along the profile, m

// The cushion's law with its reference compression times `factor`: the same cloth, thinner or thicker.
void scale_cushion(ActionDesign& a, double factor);

// Height of the heel's surface below the wippen centre in the middle of the lifting face, m.
double face_depth(const ActionDesign& design);

}  // namespace leverwright::remedies

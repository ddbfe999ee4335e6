// Masses put on a body or taken off it, and what the scale says afterwards.
#pragma once
#include "models/action/design.h"

namespace leverwright::remedies {

using action::ActionDesign;
using base::Vec2;

// Mass m [kg] at the point p of a body [m, body frame] (negative: taken away). With m_0, p_0, I_0 before:
//   m_1 = m_0 + m,  p_1 = (m_0 p_0 + m p)/m_1,  I_1 = I_0 + m_0 |p_0|^2 + m |p|^2 - m_1 |p_1|^2.
void add_mass(action::BodyMass& body, double m, const Vec2& p);

// What is put on the wippen is weighed with it: WW C = -g sum m x.
void add_to_wippen(ActionDesign& a, double m, const Vec2& p);

// Front weight as it would be weighed on a knife edge at the balance point: FW A = -g m x_cm.
void weigh_front(ActionDesign& a);

}  // namespace leverwright::remedies

// The shank as two hinges: a beam that bends, reduced to what its two ends feel.
//
// Beam of bending stiffness EI, hinged at the hammer centre, borne at the knuckle (b from the centre), free
// from there to the head (a further on). Let F and M act where it enters the head and s count backwards from
// there. The moment is M + F s for s < a, and falls from M + F a to zero over b. By Castigliano (unit loads),
//   deflection = F mu_2 + M mu_1,   turn = F mu_1 + M mu_0,     mu_k = integral of s^k w(s) ds / EI
// with w = 1 on [0, a] and, for the stretch between centre and knuckle, the weight b/3 at s = a (the integral
// of a triangle's square). For a shank clamped at its root: b = 0 and a its length. Two hinges at s_1, s_2
// with flexibilities f_1, f_2 give f_1 s_1^k + f_2 s_2^k in the place of mu_k: they are the nodes and weights
// of the two-point Gauss rule for w [@golub1969], which meets mu_0 to mu_3. So
// force and moment at the head meet exactly the beam's compliance. The nodes are the roots of
//   s^2 - A s + B:   mu_2 - A mu_1 + B mu_0 = 0,   mu_3 - A mu_2 + B mu_1 = 0,
// for the clamped beam a (1 -+ 1/sqrt 3)/2 with a/(2 EI) each.
//
// Masses: the bare shank is an even rod, cut at the hinges; the head takes what is left, so that the straight
// hammer keeps its mass, centre of mass and inertia. Loss: a torque loss_time k omega in each hinge, k = 1/f.
// Left out: shear, the rod's own modes (above 600 Hz), what bends in the head's moulding, and the change of
// the bending between centre and knuckle while the knuckle bears nothing.
#pragma once
#include <array>

#include "models/action/design.h"

namespace leverwright::action {

struct Hinges {
  std::array<double, 2> from_head;    // s, the farther one first [m]
  std::array<double, 2> flexibility;  // [rad/(N m)]
};

// a: free length, b: between the two supports (0: clamped at the root) [m]; bending: EI [N m2].
Hinges find_hinges(double a, double b, double bending);

// The hammer in three pieces: frames parallel while the shank is straight, origins at the hammer centre and
// at the hinges; coordinates of the straight hammer's frame.
struct HammerPieces {
  std::array<Vec2, 3> origin;                // in the hammer frame
  std::array<BodyMass, 3> mass;              // in each piece's own frame
  std::array<double, 2> stiffness, viscous;  // of the hinges [N m/rad, N m s/rad]
};
// UserError when the head would be left without mass or inertia.
HammerPieces cut_hammer(const ActionDesign& design);

}  // namespace leverwright::action

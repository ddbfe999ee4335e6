// SI inside; these factors are used only where a person's units come in or go out.
#pragma once

namespace leverwright::base {

inline constexpr double kGravity = 9.80665;       // m/s2, standard value
inline constexpr double kGramForce = 9.80665e-3;  // N per gf
inline constexpr double kMillimetre = 1e-3;       // m per mm
inline constexpr double kPi = 3.14159265358979323846;
inline constexpr double kDegree = kPi / 180.0;  // rad per deg

}  // namespace leverwright::base

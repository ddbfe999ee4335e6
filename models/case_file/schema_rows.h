// Short names for the columns of the schema_*.cpp tables. Include nowhere else.
#pragma once
#include "models/case_file/schema.h"

namespace leverwright::case_file::rows {

inline constexpr Dimension length = Dimension::kLength;
inline constexpr Dimension angle = Dimension::kAngle;
inline constexpr Dimension mass = Dimension::kMass;
inline constexpr Dimension weight = Dimension::kWeight;
inline constexpr Dimension torque = Dimension::kTorque;
inline constexpr Dimension inertia = Dimension::kInertia;
inline constexpr Dimension stiffness = Dimension::kStiffness;
inline constexpr Dimension angular_stiffness = Dimension::kAngularStiffness;
inline constexpr Dimension angular_damping = Dimension::kAngularDamping;
inline constexpr Dimension damping = Dimension::kDamping;
inline constexpr Dimension damping_time = Dimension::kDampingTime;
inline constexpr Dimension time_span = Dimension::kTime;
inline constexpr Dimension speed = Dimension::kSpeed;
inline constexpr Dimension density = Dimension::kDensity;
inline constexpr Dimension number = Dimension::kNumber;
inline constexpr Dimension count = Dimension::kCount;

inline constexpr Presence required = Presence::kRequired;
inline constexpr Presence by_default = Presence::kDefault;
inline constexpr Presence optional = Presence::kOptional;

inline constexpr const char* kCommon = "common practice, no source";
inline constexpr const char* kEstimate = "estimate";

}  // namespace leverwright::case_file::rows

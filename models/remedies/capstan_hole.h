// The capstan's hole: where it is and how it is marked out.
#pragma once
#include "models/remedies/work.h"

namespace leverwright::remedies {

inline constexpr const char* kBehindHole = "behind the balance hole, along the key's top";

// Middle of the capstan's hole where it enters the key's top, from the balance hole, positive toward the
// strings, m.
double hole_place(const ActionDesign& design);

void mark_lean(Work& work, const std::string& argument);
// The drill is that of the old hole, so that the capstan turns in the new one as it did.
void mark_drill(Work& work);
void mark_cap_height(Work& work);

}  // namespace leverwright::remedies

// Writes the numbers of our own assembled action out as a PlainAction: data only.
#pragma once
#include "models/action/action.h"
#include "tests/independent/plain_action.h"

namespace leverwright::independent {

PlainAction write_plain(const action::Action& action, const planar::VecQ& rest,
                        const action::Finger* finger = nullptr);

}  // namespace leverwright::independent

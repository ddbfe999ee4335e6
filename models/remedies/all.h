// Every remedy there is. A new one is a file of this folder and a line in this list.
#pragma once
#include "models/case_file/remedy.h"

namespace leverwright::remedies {

using case_file::Remedy;

// Each line: a remedy's function, defined in the file of the same name. The handbook lists them in the order of
// RemedyRow::order.
#define LEVERWRIGHT_REMEDIES(X) \
  X(part)                       \
  X(material)                   \
  X(set_value)                  \
  X(heel_re_covered)            \
  X(knuckle)                    \
  X(cap)                        \
  X(friction)                   \
  X(hammer_weight)              \
  X(lead)                       \
  X(assist_spring)              \
  X(spread_shim)                \
  X(balance_punching_halved)    \
  X(balance_punching_shimmed)   \
  X(capstan_moved)              \
  X(capstan_lean)               \
  X(heel_re_glued)              \
  X(heel_bolstered)             \
  X(heel_build_up)

#define LEVERWRIGHT_REMEDY(name) const Remedy& name();
LEVERWRIGHT_REMEDIES(LEVERWRIGHT_REMEDY)
#undef LEVERWRIGHT_REMEDY

const case_file::RemedyList& all();

// nullptr when there is none of this name ("heel build-up").
const Remedy* find(const std::string& kind);

}  // namespace leverwright::remedies

// The demo's note with another coefficient of friction at the capstan, all else of the law kept.
#pragma once
#include "tests/models/action/prepared.h"

namespace leverwright::action {

inline Prepared with_capstan_friction(double mu) {
  ActionDesign d = design_with({});
  ContactLaw& law = d.laws[kCapstanHeel];
  law.friction = planar::DryFriction(mu, law.friction.shear_share(), law.cloth.exponent(),
                                     law.friction.nap_shear(), law.friction.damping_time());
  return prepare(d);
}

}  // namespace leverwright::action

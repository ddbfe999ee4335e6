// Contact places (lines of [materials]) and what a material file says about cloth, felt and leather.
//
// A material's law is given by what a bench can measure: the force that presses it by a stated depth, the
// exponent of the curve, the share of work a slow press-and-release loses, and its friction.
//     F = test_force * (depth / test_depth)^exponent
#include "models/case_file/contact_places.h"
#include "models/case_file/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

std::vector<PlaceSpec> contact_places() {
#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) \
  {key, required, surfaces, weighed},
  return {LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)};
#undef LEVERWRIGHT_CONTACT
}

std::vector<KeySpec> contact_keys() {
  return {
      {"contact.*.test_force", weight, required, "", "20 %", "0.01 to 2000 N",
       "force that presses the material by test_depth", kEstimate},
      {"contact.*.test_depth", length, required, "", "", "0.005 to 10 mm",
       "depth at which test_force was read", kEstimate},
      {"contact.*.exponent", number, required, "", "10 %", "1 to 6",
       "exponent of force against depth; 2.5 or more, or the cloth is absurdly soft under hard blows",
       kEstimate},
      {"contact.*.hysteresis", number, by_default, "0.3 (0.1 to 0.5)", "30 %", "0 to 0.95",
       "share of the work of a slow press that is not given back", kEstimate},
      {"contact.*.damping", damping_time, by_default, "0.2 s/m (0.05 to 0.5 s/m)", "50 %", "0 to 20 s/m",
       "rate-dependent part of the force, c in F (1 + c speed)", kEstimate},
      {"contact.*.loss_time", time_span, by_default, "0.08 ms (0.02 to 0.2 ms)", "50 %", "0 to 5 ms",
       "loss in small quick motion about a preload: the force leads as if the squeeze were this much later "
       "on",
       kEstimate},
      {"contact.*.friction", number, required, "", "30 %", "0 to 1.5",
       "sliding friction coefficient against the surface it works on", kEstimate},
      {"contact.*.shear_share", number, by_default, "0.7 (0.35 to 1)", "50 %", "0.001 to 1000",
       "sideways stiffness of the surface while it still sticks, as a share of its stiffness across under "
       "the same load: 0.5 in a layer that does not swell sideways, 1 at most in a bounded contact "
       "(Mindlin 1949)",
       kEstimate},
      {"contact.*.nap_shear", length, by_default, "0.005 mm (0.002 to 0.02 mm)", "50 %", "0.0001 to 0.2 mm",
       "sideways give of the nap before any load bears on it", kEstimate},
      {"contact.*.thickness", length, optional, "", "0.2 mm", "0.1 to 20 mm", "uncompressed thickness",
       kEstimate},
  };
}

std::vector<PointListSpec> contact_point_lists() {
  return {
      {"contact.capstan_heel.friction_along", optional, number, 2, "0.2 mm",
       "friction along the heel: distance along the profile from its first point, and the factor on the "
       "coefficient there (a rough or grooved patch is above 1)"},
  };
}

}  // namespace leverwright::case_file

// What the technician wants of the regulated note, and what counts as a difference
// (models/judgement/judge.h).
#include "models/case_file/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

namespace {
constexpr const char* kNoticeable = "smallest change that counts";
}

std::vector<KeySpec> target_keys() {
  return {
      {"targets.down_weight", weight, by_default, "50 gf", "", "10 to 120 gf", "wanted down weight",
       "middle of 45 to 55 gf, common practice"},
      {"targets.up_weight", weight, by_default, "25 gf", "", "0 to 80 gf", "wanted up weight",
       "middle of 20 to 30 gf, common practice"},
      {"targets.balance_weight", weight, by_default, "37.5 gf", "", "0 to 90 gf", "wanted balance weight",
       "middle of 35 to 40 gf, common practice"},
      {"targets.friction", weight, by_default, "10 gf", "", "0 to 40 gf",
       "wanted friction, half of down less up",
       "lower end of what is found from bass to treble, common practice"},
      {"targets.distance_ratio", number, optional, "", "", "3 to 9", "wanted distance ratio", kCommon},
      {"targets.dip", length, optional, "", "", "7 to 14 mm", "wanted dip, where it may result", kCommon},
      {"targets.blow", length, optional, "", "", "35 to 60 mm", "wanted blow, where it may result", kCommon},
      {"targets.aftertouch", length, by_default, "1.2 mm", "", "0.1 to 4 mm",
       "wanted aftertouch, where it may result", kCommon},
      {"targets.let_off_resistance", weight, optional, "", "", "0 to 300 gf", "wanted let-off resistance",
       kCommon},
      {"targets.reflected_mass", mass, optional, "", "", "50 to 900 g",
       "wanted reflected mass at the playing point", kCommon},
      {"targets.capstan_friction", weight, optional, "", "", "0 to 40 gf",
       "wanted share of the capstan in the friction", kCommon},
      {"targets.least_margin", length, by_default, "0.5 mm", "", "0 to 5 mm",
       "least cap and lifting face a move may leave to be recommended", kCommon},
      {"targets.front_weight_limit", weight, optional, "", "", "0 to 80 gf",
       "front weight that leads must not exceed", kCommon},
      // What a finger or a scale can tell apart.
      {"noticeable.down_weight", weight, by_default, "2 gf", "", "0.1 to 20 gf", kNoticeable, kCommon},
      {"noticeable.up_weight", weight, by_default, "2 gf", "", "0.1 to 20 gf", kNoticeable, kCommon},
      {"noticeable.balance_weight", weight, by_default, "2 gf", "", "0.1 to 20 gf", kNoticeable, kCommon},
      {"noticeable.friction", weight, by_default, "2 gf", "", "0.1 to 20 gf", kNoticeable, kCommon},
      {"noticeable.dip", length, by_default, "0.1 mm", "", "0.01 to 2 mm", kNoticeable, kCommon},
      {"noticeable.aftertouch", length, by_default, "0.1 mm", "", "0.01 to 2 mm", kNoticeable, kCommon},
      {"noticeable.let_off", length, by_default, "0.2 mm", "", "0.01 to 2 mm", kNoticeable, kCommon},
      {"noticeable.blow", length, by_default, "0.5 mm", "", "0.01 to 5 mm", kNoticeable, kCommon},
      {"noticeable.distance_ratio", number, by_default, "0.1", "", "0.01 to 2", kNoticeable, kCommon},
      {"noticeable.let_off_resistance", weight, by_default, "10 gf", "", "0.5 to 100 gf", kNoticeable,
       kCommon},
      {"noticeable.reflected_mass", mass, by_default, "20 g", "", "1 to 300 g", kNoticeable, kCommon},
      {"noticeable.capstan_friction", weight, by_default, "1 gf", "", "0.1 to 20 gf", kNoticeable, kCommon},
  };
}

}  // namespace leverwright::case_file

// The contact places of the action, one row each: everything that names or lists contacts takes it from here
// (lines of [materials], the action's places, tables, trade names, which inputs weighing feels). A new contact: a row
// here and the surfaces that meet in add_contacts of models/action/action.cpp.
//
//   X(id, key in [materials], name for people, surfaces with the contact's number,
//     its cloth, felt or leather by name, the pair that rubs,
//     slides: carries dry friction; at the others the travel along the surface is small,
//     weighed: felt by the slow key, not only by a moving hammer)
#pragma once

// clang-format off
#define LEVERWRIGHT_CONTACTS(X) \
  X(kKeyBackRail, "key_back_rail", "key on back-rail cloth", "C1 key on the back-rail cloth", \
    "back-rail cloth", "the key on the back-rail cloth", false, true) \
  X(kKeyFrontPunching, "key_front_punching", "key on front punching", "C2 key on the front punching", \
    "front punching", "the key on the front punching", false, false) \
  X(kCapstanHeel, "capstan_heel", "capstan on heel cloth", "C3 capstan cap on the heel cloth", \
    "heel cloth", "the capstan on the heel cloth", true, true) \
  X(kJackKnuckle, "jack_knuckle", "jack on knuckle", "C4 jack top on the knuckle", \
    "knuckle under the jack", "the jack on the knuckle", true, true) \
  X(kLeverKnuckle, "lever_knuckle", "repetition lever on knuckle", "C5 repetition lever on the knuckle", \
    "knuckle under the repetition lever", "the repetition lever on the knuckle", true, true) \
  X(kTenderButton, "tender_button", "jack tender on let-off button", "C6 jack tender on the let-off button", \
    "let-off button's felt", "the jack tender on the let-off button", true, true) \
  X(kLeverDropScrew, "lever_drop_screw", "repetition lever on drop screw", "C7 repetition lever's leather on the drop screw", \
    "drop-screw leather", "the repetition lever on the drop screw", true, true) \
  X(kJackStopFelt, "jack_stop", "jack on its stop", "C8 jack on its button's felt (jack position)", \
    "jack's button felt", "the jack on its button", false, true) \
  X(kLeverStopFelt, "lever_stop", "repetition lever on its stop", "C9 repetition lever on its height stop", \
    "lever's stop felt", "the repetition lever on its stop", false, true) \
  X(kShankRest, "shank_rest", "shank on rest cushion", "C10 shank on the rest rail or the wippen's cushion", \
    "rest cushion", "the shank on its rest", false, false) \
  X(kTailCheck, "tail_check", "hammer tail on back check", "C11 hammer tail on the back check", \
    "check leather", "the hammer's tail on the back check", true, false) \
  X(kHammerString, "hammer_string", "hammer on string", "C12 hammer felt on the string", \
    "hammer felt", "the hammer on the string", false, false) \
  X(kJackOuterStop, "jack_outer_stop", "jack on its outer stop", "C15 jack's outer stop", \
    "jack's outer stop", "the jack on its outer stop", false, false) \
  X(kLeverOuterStop, "lever_outer_stop", "repetition lever on its outer stop", "C16 repetition lever's outer stop", \
    "lever's outer stop", "the repetition lever on its outer stop", false, false)
// clang-format on

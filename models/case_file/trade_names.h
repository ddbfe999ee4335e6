// What the trade calls the values of a case: the one place where a key becomes words.
#pragma once
#include <string>

namespace leverwright::case_file {

// "contact.lever_knuckle.friction" -> "friction of the repetition lever on the knuckle",
// "friction.key_balance" -> "friction of the balance bushing", "measured.spread" -> "spread",
// "wippen.lever_spring_torque" -> "repetition spring". A key without words of its own is read out.
std::string trade_name(const std::string& key);

// What a bench does to learn the value better, as an imperative: "draw a loose repetition lever along the
// knuckle under a known weight". Empty where no gauge tells it: then only a trial note does.
std::string how_to_learn(const std::string& key);

}  // namespace leverwright::case_file

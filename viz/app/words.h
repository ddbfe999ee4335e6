// A word that is not among those known: one sentence for names of set-ups, searches, policies, touches.
#pragma once
#include <string>
#include <vector>

#include "sim/base/error.h"

namespace leverwright::app {

// "a", "b", "c"
std::string quoted_list(const std::vector<std::string>& words);

// `what`: "there is no set-up \"x\" in this case"; `option` stands before the nearest word: "--set-up".
base::UserError unknown_word(const std::string& file, const std::string& what, const std::string& word,
                             const std::vector<std::string>& known, const std::string& option = "");

}  // namespace leverwright::app

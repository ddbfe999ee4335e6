// The verbs of the program. A new one: its file in this folder, and its name in list.cpp.
#pragma once
#include "viz/app/verb.h"

namespace leverwright::app {

void add_verbs(App& app);

}  // namespace leverwright::app

// The words of a command line read into the options of its verb.
#pragma once
#include <string>
#include <vector>

#include "viz/app/verb.h"

namespace leverwright::app {

struct Parsed {
  Verb* verb = nullptr;  // none: `text` is what was asked for (help, version)
  std::string text;
  std::vector<std::string> reads;  // files named to be read: no output takes their place
};

// UserError, with the nearest known word, for what is not understood or out of its bounds.
Parsed parse(App& app, int argc, char** argv);

}  // namespace leverwright::app

// Where results and talk go: results to standard output, everything else to standard error.
#pragma once
#include <string>

#include "viz/table/text.h"

namespace leverwright::app {

// Exit codes; README and --help list them.
inline constexpr int kDone = 0, kUserError = 1, kStopped = 2, kInternal = 3;

struct Terminal {
  table::Look look;
  bool quiet = false;  // results and errors only
  bool asked_for_progress = false;
  bool talk_is_terminal = false;  // standard error
};

// Width and colour as standard output allows. `colour`: "auto", "always" or "never"; `width`: 0 for what the
// terminal has (80 to 140 columns are used; 118 where there is no terminal).
Terminal find_terminal(const std::string& colour, int width, bool quiet, bool progress);

void write_result(const std::string& text);                   // standard output
void say(const Terminal& terminal, const std::string& text);  // standard error, one line; nothing when quiet
void ask(const Terminal& terminal,
         const std::string& text);          // standard error, as it stands; nothing when quiet
void write_error(const std::string& text);  // standard error, always

}  // namespace leverwright::app

// What the verbs say of themselves: the help, a manual page and completion for the shell, all written from the
// options as the command line knows them, so that none can say anything else.
#pragma once
#include <string>

#include "viz/app/verb.h"

namespace leverwright::app {

std::string write_help(const App& app);  // the verbs, those a technician needs first
std::string write_help(const App& app, const Verb& verb);
// roff, section 1.
std::string write_manual_page(const App& app);
// For bash, on its own built-ins.
std::string write_bash_completion(const App& app);

}  // namespace leverwright::app

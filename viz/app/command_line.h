// Words of the command line to verbs.
#pragma once

namespace leverwright::app {

// Returns the exit code: 0 done, 1 the user can put it right, 2 stopped by the user (finished set-ups kept),
// 3 the computation or the program failed.
int run_command_line(int argc, char** argv);

}  // namespace leverwright::app

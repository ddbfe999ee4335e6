// Ctrl-C (and the polite termination signal): the first asks the work to stop, the second ends the program at
// once.
#pragma once

namespace leverwright::app {

// From here on the first interrupt only sets a mark, and says on standard error that finished set-ups are
// kept.
void catch_interrupts();
bool interrupted();

}  // namespace leverwright::app

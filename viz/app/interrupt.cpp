#include "viz/app/interrupt.h"

#include <signal.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>

namespace leverwright::app {

namespace {

volatile sig_atomic_t mark = 0;

void on_signal(int) {  // calls nothing that a signal handler may not call
  mark = 1;
  const int before = errno;  // of the call that was broken into
  constexpr char text[] =
      "\nStopping after the step at hand; finished set-ups are kept. Once more Ctrl-C ends at once.\n";
  const auto written = write(STDERR_FILENO, text, sizeof text - 1);
  static_cast<void>(written);
  errno = before;
}

}  // namespace

void catch_interrupts() {
  struct sigaction action {};
  action.sa_handler = on_signal;
  action.sa_flags = static_cast<int>(SA_RESETHAND | SA_RESTART);  // the second one does what it always did
  sigemptyset(&action.sa_mask);
  sigaction(SIGINT, &action, nullptr);
  sigaction(SIGTERM, &action, nullptr);
  // A terminal that is closed; a program started with nohup goes on.
  struct sigaction before {};
  sigaction(SIGHUP, nullptr, &before);
  if (before.sa_handler != SIG_IGN) sigaction(SIGHUP, &action, nullptr);
}

bool interrupted() { return mark != 0; }

}  // namespace leverwright::app

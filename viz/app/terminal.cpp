#include "viz/app/terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "sim/base/error.h"
#include "sim/base/shown_text.h"

namespace leverwright::app {

namespace {

bool colour_wanted() {
  const char* none = std::getenv("NO_COLOR");
  const char* kind = std::getenv("TERM");
  return isatty(STDOUT_FILENO) && !(none && *none) && kind && std::strcmp(kind, "dumb") != 0;
}

void write_all(std::FILE* to, const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), to);
  if (std::fflush(to) != 0 && to == stdout)
    throw base::UserError("the result could not be written to standard output",
                          "is the disk full, or the pipe closed?");
}

}  // namespace

Terminal find_terminal(const std::string& colour, int width, bool quiet, bool progress) {
  Terminal t;
  t.quiet = quiet;
  t.asked_for_progress = progress;
  t.talk_is_terminal = isatty(STDERR_FILENO) != 0;
  t.look.colour = colour == "always" || (colour == "auto" && colour_wanted());
  winsize size{};
  if (width > 0)
    t.look.width = width;
  else if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    t.look.width = std::clamp<int>(size.ws_col, 80, 140);
  return t;
}

void write_result(const std::string& text) { write_all(stdout, text); }

void say(const Terminal& terminal, const std::string& text) {
  if (!terminal.quiet) write_all(stderr, base::shown_text(text) + "\n");
}

void ask(const Terminal& terminal, const std::string& text) {
  if (!terminal.quiet) write_all(stderr, text);
}

void write_error(const std::string& text) { write_all(stderr, text); }

}  // namespace leverwright::app

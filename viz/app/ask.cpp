#include "viz/app/ask.h"

#include <poll.h>
#include <signal.h>
#include <unistd.h>

#include <array>
#include <cerrno>

#include "viz/app/interrupt.h"

namespace leverwright::app {

namespace {
constexpr std::size_t kLongest = 10000;  // of one line: more is no answer

// Waits until standard input has something or a signal asks to stop, which gives false. The signals are held back from
// the question until the wait, which lets them in: one that came between the two would be waited for for ever.
bool wait_for_input() {
  sigset_t held, before;
  sigemptyset(&held);
  for (const int s : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&held, s);
  pthread_sigmask(SIG_BLOCK, &held, &before);
  pollfd in{STDIN_FILENO, POLLIN, 0};
  int ready = 0;
  do {
    if (interrupted()) break;
    ready = ppoll(&in, 1, nullptr, &before);
  } while (ready < 0 && errno == EINTR);
  pthread_sigmask(SIG_SETMASK, &before, nullptr);
  return !interrupted();
}
}  // namespace

std::optional<std::string> LineReader::next() {
  for (;;) {
    if (const auto end = waiting_.find('\n'); end != std::string::npos) {
      std::string line = waiting_.substr(0, end);
      waiting_.erase(0, end + 1);
      return line;
    }
    if (ended_ || waiting_.size() > kLongest) return {};
    if (!wait_for_input()) return {};
    std::array<char, 4096> buffer{};
    const ssize_t got = read(STDIN_FILENO, buffer.data(), buffer.size());
    if (got > 0) {
      waiting_.append(buffer.data(), static_cast<std::size_t>(got));
      continue;
    }
    if (got < 0 && errno == EINTR) continue;
    ended_ = true;
    if (!waiting_.empty()) waiting_ += '\n';  // a last line without its end
  }
}

}  // namespace leverwright::app

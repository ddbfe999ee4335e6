#include "viz/app/ask.h"

#include <poll.h>
#include <unistd.h>

#include <array>
#include <cerrno>

#include "viz/app/interrupt.h"

namespace leverwright::app {

namespace {
constexpr std::size_t kLongest = 10000;  // of one line: more is no answer
}

std::optional<std::string> LineReader::next() {
  for (;;) {
    if (const auto end = waiting_.find('\n'); end != std::string::npos) {
      std::string line = waiting_.substr(0, end);
      waiting_.erase(0, end + 1);
      return line;
    }
    if (ended_ || waiting_.size() > kLongest) return {};
    // Waiting here, a signal ends the call: a read would be begun again.
    pollfd in{STDIN_FILENO, POLLIN, 0};
    const int ready = poll(&in, 1, -1);
    if (interrupted()) return {};
    if (ready < 0 && errno == EINTR) continue;
    std::array<char, 4096> buffer{};
    const ssize_t got = ready < 0 ? 0 : read(STDIN_FILENO, buffer.data(), buffer.size());
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

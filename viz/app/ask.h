// Lines a person types, or a pipe hands over, one at a time; Ctrl-C while waiting is seen at once.
#pragma once
#include <optional>
#include <string>

namespace leverwright::app {

class LineReader {
 public:
  // The next line of standard input without its end; nothing at the end of the input, or when Ctrl-C was pressed
  // (interrupted(), interrupt.h).
  std::optional<std::string> next();

 private:
  std::string waiting_;
  bool ended_ = false;
};

}  // namespace leverwright::app

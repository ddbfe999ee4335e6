// The bytes of one run as a file, since every reader takes a path. One file a process, in memory where there
// is a /dev/shm.
#pragma once
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "sim/base/error.h"

namespace leverwright::fuzz {

inline std::string given_file(const char* ending, const std::uint8_t* data, std::size_t size) {
  static const std::string path = std::string(access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp") +
                                  "/leverwright-fuzz-" + std::to_string(getpid()) + ending;
  static const bool once = [] {
    std::atexit([] { std::remove(path.c_str()); });
    return true;
  }();
  static_cast<void>(once);
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (file == nullptr) std::abort();
  std::fwrite(data, 1, size, file);
  std::fclose(file);
  // What is remembered of a file is remembered by its time, which the system counts in milliseconds: each is a new one.
  static long count = 0;
  const timespec times[2] = {{count / 1'000'000'000, count % 1'000'000'000},
                             {count / 1'000'000'000, count % 1'000'000'000}};
  ++count;
  utimensat(AT_FDCWD, path.c_str(), times, 0);
  return path;
}

// Whatever a file holds, a reader answers or says what is wrong with it in words of bounded length.
template <typename Read>
int expect_answer_or_words(const Read& read) {
  try {
    read();
  } catch (const base::UserError& error) {
    const std::string text = error.what();
    if (text.empty() || text.size() > 200'000 || text.find('\x1b') != std::string::npos) std::abort();
  }
  return 0;
}

}  // namespace leverwright::fuzz

#include "sim/store/trial_read.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <map>
#include <mutex>
#include <new>
#include <tuple>

#include "sim/base/error.h"

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define LEVERWRIGHT_MEMORY_IS_SHADOWED
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define LEVERWRIGHT_MEMORY_IS_SHADOWED
#endif
#endif

namespace leverwright::store {
namespace {

using State = std::tuple<dev_t, ino_t, off_t, time_t, long>;

State state_of(const std::string& path) {
  struct stat s {};
  if (::stat(path.c_str(), &s) != 0) return {};
  return {s.st_dev, s.st_ino, s.st_size, s.st_mtim.tv_sec, s.st_mtim.tv_nsec};
}

std::mutex mutex;
std::map<State, Trial>& tried() {
  static std::map<State, Trial> states;
  return states;
}

void limit(int what, rlim_t most) {
  rlimit now{};
  if (getrlimit(what, &now) != 0) return;
  now.rlim_cur = now.rlim_max == RLIM_INFINITY ? most : std::min(most, now.rlim_max);
  setrlimit(what, &now);
}

[[noreturn]] void run_child(const std::function<void()>& reading, unsigned seconds) {
  const int nowhere = ::open("/dev/null", O_RDWR);
  for (int k = 0; k < 3; ++k) ::dup2(nowhere, k);
  for (const int s : {SIGSEGV, SIGBUS, SIGABRT, SIGFPE, SIGILL, SIGXCPU, SIGALRM}) ::signal(s, SIG_DFL);
  ::signal(SIGINT, SIG_IGN);  // Ctrl-C is for the program that waits
  ::signal(SIGTERM, SIG_DFL);
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_CPU, seconds);
  // A lock that another thread held while the process was made is never given back here: the child would wait for it
  // without using any time. Long enough for a machine that has much else to do.
  ::alarm(kTrialWait * seconds);
#ifndef LEVERWRIGHT_MEMORY_IS_SHADOWED
  limit(RLIMIT_AS, kTrialBytes);
#endif
  try {
    reading();
  } catch (const std::bad_alloc&) {
    ::_exit(2);
  } catch (...) {
  }
  ::_exit(0);
}

}  // namespace

unsigned trial_seconds(off_t bytes) {
  constexpr off_t kBytesPerSecond = 10'000'000;
  return 1 + static_cast<unsigned>(std::clamp<off_t>(bytes / kBytesPerSecond, 0, 600));
}

Trial try_in_child(const std::function<void()>& reading, unsigned seconds) {
  const pid_t child = ::fork();
  if (child < 0) return Trial::kFine;
  if (child == 0) run_child(reading, seconds);
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return Trial::kFine;
  const bool too_much = WIFEXITED(status) ? WEXITSTATUS(status) == 2
                                          : WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGALRM;
  return too_much ? Trial::kTooMuch : Trial::kCrashed;
}

void need_readable(const std::string& path, const std::function<void()>& reading) {
  const State before = state_of(path);
  Trial trial = Trial::kFine;
  std::unique_lock<std::mutex> lock(mutex);
  if (const auto known = tried().find(before); known != tried().end()) {
    trial = known->second;
  } else {
    lock.unlock();
    trial = try_in_child(reading, trial_seconds(std::get<2>(before)));
    lock.lock();
    tried()[before] = trial;
  }
  if (trial == Trial::kFine) return;
  throw base::UserError(
      {base::Problem{path, 0, "",
                     trial == Trial::kCrashed ? "the file is damaged (the HDF5 library breaks down over it)"
                                              : "the file is damaged (it claims more than can be read)",
                     "an undamaged HDF5 file", "copy it again, or run the study again"}});
}

void trust(const std::string& path) {
  const std::lock_guard<std::mutex> lock(mutex);
  tried()[state_of(path)] = Trial::kFine;
}

}  // namespace leverwright::store

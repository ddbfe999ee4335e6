#include "sim/store/trial_read.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <map>
#include <mutex>
#include <new>
#include <set>
#include <tuple>

#include "sim/base/error.h"
#include "sim/base/shown_text.h"

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
std::set<State>& trusted() {
  static std::set<State> states;
  return states;
}

// What is told when all else fails; written before, since then nothing may be made any more.
std::array<char, 4200> last_words{};
extern "C" void tell_last_words(int) {
  const auto told =
      ::write(STDERR_FILENO, last_words.data(), ::strnlen(last_words.data(), last_words.size()));
  static_cast<void>(told);
  ::_exit(1);
}

void limit(int what, rlim_t most) {
  rlimit now{};
  if (getrlimit(what, &now) != 0) return;
  now.rlim_cur = now.rlim_max == RLIM_INFINITY ? most : std::min(most, now.rlim_max);
  setrlimit(what, &now);
}

// What a person, a closed terminal or the end of a service sends to the whole group is for the program that waits: a
// child it ended would look like one that broke down.
constexpr int kForTheParent[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};

[[noreturn]] void run_child(const std::function<void()>& reading, unsigned seconds, pid_t parent,
                            const sigset_t& mask) {
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // nobody waits for it any more
  if (::getppid() != parent) ::_exit(2);
  const int nowhere = ::open("/dev/null", O_RDWR);
  for (int k = 0; k < 3; ++k) ::dup2(nowhere, k);
  for (const int s : {SIGSEGV, SIGBUS, SIGABRT, SIGFPE, SIGILL, SIGXCPU, SIGALRM}) ::signal(s, SIG_DFL);
  for (const int s : kForTheParent) ::signal(s, SIG_IGN);
  ::pthread_sigmask(SIG_SETMASK, &mask, nullptr);
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
  // Held back until the child ignores them.
  sigset_t held, before;
  sigemptyset(&held);
  for (const int s : kForTheParent) sigaddset(&held, s);
  ::pthread_sigmask(SIG_BLOCK, &held, &before);
  const pid_t parent = ::getpid(), child = ::fork();
  if (child == 0) run_child(reading, seconds, parent, before);
  ::pthread_sigmask(SIG_SETMASK, &before, nullptr);
  if (child < 0) return Trial::kFine;
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return Trial::kFine;
  const bool too_much = WIFEXITED(status) ? WEXITSTATUS(status) == 2
                                          : WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGALRM ||
                                                WTERMSIG(status) == SIGKILL;  // the system had no memory left
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
  trusted().insert(state_of(path));
}

void end_in_words_over(const std::string& path) {
  const std::lock_guard<std::mutex> lock(mutex);
  if (trusted().count(state_of(path)) != 0) return;
  const std::string words = "error: " + base::shown_line(path, 4000) +
                            "\n    the file is damaged (the HDF5 library broke down over it)\n"
                            "    do this:  copy it again, or run the study again\n";
  words.copy(last_words.data(), last_words.size() - 1);
  last_words[std::min(words.size(), last_words.size() - 1)] = '\0';
#ifndef LEVERWRIGHT_MEMORY_IS_SHADOWED
  struct sigaction action {};
  action.sa_handler = tell_last_words;
  for (const int s : {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT}) ::sigaction(s, &action, nullptr);
#endif
}

}  // namespace leverwright::store

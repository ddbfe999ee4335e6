#include "tests/viz/app/run_program.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <sstream>
#include <stdexcept>
#include <thread>

namespace leverwright::app_test {

namespace {

// Longer than any test may take; a program that waits for ever fails its test by name.
constexpr std::chrono::minutes kLongest{20};

// Runs the program in the child that was just forked; it ends with the test, however that ends.
[[noreturn]] void become(const std::vector<std::string>& words, const Environment& environment, pid_t test,
                         int in, int out, int err) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != test) _exit(127);
  dup2(in, 0);
  dup2(out, 1);
  dup2(err, 2);
  unsetenv("DISPLAY");
  for (const auto& [name, value] : environment) setenv(name.c_str(), value.c_str(), 1);
  std::string program = LEVERWRIGHT_PROGRAM;
  std::vector<std::string> all = words;
  std::vector<char*> argv{program.data()};
  for (auto& word : all) argv.push_back(word.data());
  argv.push_back(nullptr);
  execv(argv[0], argv.data());
  _exit(127);
}

}  // namespace

Program::Program(const std::vector<std::string>& words, const Environment& environment,
                 const std::string& standard_out, const std::string& standard_in)
    : out_path_(standard_out.empty() ? folder_.path("out") : standard_out),
      err_path_(folder_.path("err")),
      sent_elsewhere_(!standard_out.empty()) {
  const pid_t test = getpid();
  pid_ = fork();
  if (pid_ < 0) throw std::runtime_error("cannot start a program");
  if (pid_ > 0) return;
  become(words, environment, test, open(standard_in.c_str(), O_RDONLY),
         open(out_path_.c_str(), O_WRONLY | O_CREAT, 0600),
         open(err_path_.c_str(), O_WRONLY | O_CREAT, 0600));
}

Program::~Program() {
  if (ended_ || pid_ <= 0) return;
  kill(pid_, SIGKILL);
  waitpid(pid_, &status_, 0);
}

std::string Program::err_so_far() const {
  return std::filesystem::exists(err_path_) ? read_text(err_path_) : "";  // it has hardly begun
}

bool Program::is_running() {
  if (!ended_ && waitpid(pid_, &status_, WNOHANG) == pid_) ended_ = true;
  return !ended_;
}

bool Program::wait_for_talk(const std::string& text) {
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(400);
  while (!has(err_so_far(), text)) {
    if (!is_running() || std::chrono::steady_clock::now() > until) return has(err_so_far(), text);
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return true;
}

Ended Program::wait() {
  const auto until = std::chrono::steady_clock::now() + kLongest;
  auto pause = std::chrono::milliseconds(1);
  while (is_running()) {
    if (std::chrono::steady_clock::now() > until) {
      ADD_FAILURE() << "the program has not ended after " << kLongest.count() << " minutes:\n"
                    << err_so_far();
      kill(pid_, SIGKILL);
      waitpid(pid_, &status_, 0);
      ended_ = true;
      break;
    }
    std::this_thread::sleep_for(pause);
    pause = std::min(2 * pause, std::chrono::milliseconds(20));
  }
  Ended e;
  if (WIFEXITED(status_)) e.exit_code = WEXITSTATUS(status_);
  if (WIFSIGNALED(status_)) e.signal = WTERMSIG(status_);
  if (!sent_elsewhere_) e.out = read_text(out_path_);
  e.err = read_text(err_path_);
  return e;
}

Ended run(const std::vector<std::string>& words, const Environment& environment,
          const std::string& standard_in) {
  return Program(words, environment, "", standard_in).wait();
}

Ended run_into_a_closed_pipe(const std::vector<std::string>& words) {
  const ScratchFolder folder;
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error("no pipe");
  close(ends[0]);
  const pid_t test = getpid(), child = fork();
  if (child < 0) throw std::runtime_error("cannot start a program");
  if (child == 0)
    become(words, {}, test, open("/dev/null", O_RDONLY), ends[1],
           open(folder.path("err").c_str(), O_WRONLY | O_CREAT, 0600));
  close(ends[1]);
  int status = 0;
  waitpid(child, &status, 0);
  Ended e;
  if (WIFEXITED(status)) e.exit_code = WEXITSTATUS(status);
  if (WIFSIGNALED(status)) e.signal = WTERMSIG(status);
  e.err = read_text(folder.path("err"));
  return e;
}

std::string changed_case(const std::vector<std::pair<std::string, std::string>>& replacements) {
  std::string text = read_text(kCase);
  for (const auto& [from, to] : replacements) {
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << "the case does not hold: " << from;
    if (at != std::string::npos) text.replace(at, from.size(), to);
  }
  return text;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

bool has(const std::string& text, const std::string& piece) { return text.find(piece) != std::string::npos; }

}  // namespace leverwright::app_test

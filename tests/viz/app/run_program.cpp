#include "tests/viz/app/run_program.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <sstream>
#include <stdexcept>
#include <thread>

namespace leverwright::app_test {

Program::Program(const std::vector<std::string>& words, const Environment& environment,
                 const std::string& standard_out, const std::string& standard_in)
    : out_path_(standard_out.empty() ? folder_.path("out") : standard_out),
      err_path_(folder_.path("err")),
      sent_elsewhere_(!standard_out.empty()) {
  std::vector<std::string> all{LEVERWRIGHT_PROGRAM};
  all.insert(all.end(), words.begin(), words.end());
  pid_ = fork();
  if (pid_ < 0) throw std::runtime_error("cannot start a program");
  if (pid_ > 0) return;
  const int out = open(out_path_.c_str(), O_WRONLY | O_CREAT, 0600);
  const int err = open(err_path_.c_str(), O_WRONLY | O_CREAT, 0600);
  const int in = open(standard_in.c_str(), O_RDONLY);
  dup2(in, 0);
  dup2(out, 1);
  dup2(err, 2);
  unsetenv("DISPLAY");
  for (const auto& [name, value] : environment) setenv(name.c_str(), value.c_str(), 1);
  std::vector<char*> argv;
  for (auto& word : all) argv.push_back(word.data());
  argv.push_back(nullptr);
  execv(argv[0], argv.data());
  _exit(127);
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
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(120);
  while (!has(err_so_far(), text)) {
    if (!is_running() || std::chrono::steady_clock::now() > until) return has(err_so_far(), text);
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return true;
}

Ended Program::wait() {
  if (!ended_) waitpid(pid_, &status_, 0);
  ended_ = true;
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

// new: the bench sheet answered line by line, through a pipe and at a terminal; what comes out is a case that reads.
#include <gtest/gtest.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <thread>
#include <utility>

#include "models/workshop/first_lines.h"
#include "models/workshop/sheet_lines.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

// The program with its standard input from a text.
Ended run_with(const std::vector<std::string>& words, const std::string& input) {
  const ScratchFolder folder;
  const std::string in = folder.write("in.txt", input), out = folder.path("out.txt"),
                    err = folder.path("err.txt");
  std::string line = LEVERWRIGHT_PROGRAM;
  for (const auto& w : words) line += " '" + w + "'";
  const int status = std::system((line + " < " + in + " > " + out + " 2> " + err).c_str());
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, 0, read_text(out), read_text(err)};
}

// Usual values of a middle note, invented: what a first line is answered with.
std::string usual_answer(const workshop::SheetLine& l) {
  static const std::map<int, std::string> table = {
      {11, "112.5"}, {12, "96.5"}, {13, "151"},   {14, "25"},   {15, "70"}, {16, "201"},
      {17, "185"},   {21, "246"},  {22, "131.9"}, {41, "66.3"}, {51, "18"}, {52, "10"},
      {54, "130"},   {55, "50"},   {61, "9.6"},   {62, "26"},   {63, "18"}, {71, "3"},
      {72, "2"},     {75, "2"},    {76, "1"},     {77, "1"},    {81, "52"}, {82, "22"},
      {83, "10"},    {84, "46"},   {85, "2"},     {86, "1.5"},  {87, "1.2"}};
  const auto found = table.find(l.number);
  return found == table.end() ? "" : found->second;
}

std::string first_answers() {
  std::string out = "C4\n";
  for (const auto& l : workshop::sheet_lines())
    for (const auto& f : workshop::first_lines())
      if (f.number == l.number) out += usual_answer(l) + "\n";
  return out;
}

TEST(New, AnswersThroughAPipeBecomeACaseThatReads) {
  const ScratchFolder folder;
  const std::string path = folder.path("mine.toml");
  const Ended e = run_with({"new", "-o", path}, first_answers() + "no\n");
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "leverwright read " + path)) << e.out;
  EXPECT_TRUE(has(e.out, "are measured on this piano")) << e.out;
  EXPECT_LE(lines_of(e.out).size(), 60u);
  for (const std::string& line : lines_of(e.out)) EXPECT_LE(line.size(), 118u) << line;
  const Ended read = run({"read", path});
  EXPECT_EQ(read.exit_code, 0) << read.err;
  EXPECT_EQ(run({"weigh", path}).exit_code, 0);
  // The same through the filled sheet: one way to a case.
  const Ended sheet = run({"sheet", "--read", folder.path("mine.sheet.csv"), "--out", folder.path("o")});
  ASSERT_EQ(sheet.exit_code, 0) << sheet.err;
  EXPECT_EQ(read_text(folder.path("o/case_C4.toml")), read_text(path));
}

TEST(New, SaysWhereEachLineIsMeasured) {
  const ScratchFolder folder;
  const Ended e = run_with({"new", "-o", folder.path("mine.toml")}, first_answers() + "no\n");
  for (const auto& f : workshop::first_lines()) {
    const auto* l = workshop::find_line(f.number);
    ASSERT_NE(l, nullptr) << f.number;
    const std::string where = l->where;
    EXPECT_TRUE(has(e.err, where.substr(0, 30))) << where << "\n" << e.err;
  }
}

TEST(New, ImplausibleAndContradictoryIsSaidAtOnceAndAskedAgain) {
  const ScratchFolder folder;
  std::string answers;
  for (const auto& l : workshop::sheet_lines())
    for (const auto& f : workshop::first_lines()) {
      if (f.number != l.number) continue;
      if (l.number == 81) answers += "5000\n";  // no down weight
      if (l.number == 82) answers += "60\n";    // over the down weight
      answers += usual_answer(l) + "\n";
    }
  const Ended e = run_with({"new", "-o", folder.path("mine.toml")}, "H4\nC4\n" + answers + "no\n");
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.err, "\"H4\" is no note")) << e.err;
  EXPECT_TRUE(has(e.err, "outside everything plausible")) << e.err;
  EXPECT_TRUE(has(e.err, "is not below the down weight")) << e.err;
}

TEST(New, TakesInchesOuncesAndGoesBack) {
  const ScratchFolder folder;
  const std::string path = folder.path("mine.toml");
  const Ended e = run_with({"new", "-o", path},
                           "C4\n11 = 4 7/16 in\n61 = 0.34 oz\n61 = 0.35 oz +- 0.01 oz\nback\nF#5\ndone\n");
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const std::string text = read_text(path);
  EXPECT_TRUE(has(text, "spread = \"112.7125 mm\"")) << text;
  EXPECT_TRUE(has(text, "strike_weight = \"9.922333 gf +- 0.2834952 gf\"")) << text;
  EXPECT_TRUE(has(text, "name = \"F#5\""));
  EXPECT_TRUE(has(text, "number = 58"));
  EXPECT_TRUE(has(text, "kind = \"sharp\""));
}

TEST(New, StopKeepsAndContinueGoesOn) {
  const ScratchFolder folder;
  const std::string path = folder.path("mine.toml"), kept = folder.path("mine.sheet.csv");
  const Ended stopped = run_with({"new", "-o", path}, "C4\n11 = 112.5\nstop\n");
  EXPECT_EQ(stopped.exit_code, 0) << stopped.err;
  EXPECT_TRUE(has(stopped.err, "leverwright new --continue")) << stopped.err;
  EXPECT_EQ(folder.names(), (std::vector<std::string>{"mine.sheet.csv"}));
  // Begun anew by mistake: what was given stays.
  EXPECT_EQ(run_with({"new", "-o", path}, "C4\n11 = 111\nstop\n").exit_code, 1);
  // The end of the input is no answer; it keeps as well, and says that it was not whole.
  const Ended cut = run_with({"new", "--continue", kept}, "54 = 130\n");
  EXPECT_EQ(cut.exit_code, 2) << cut.err;
  const Ended done = run_with({"new", "--continue", kept}, "done\n");
  ASSERT_EQ(done.exit_code, 0) << done.err;
  const std::string text = read_text(path);
  EXPECT_TRUE(has(text, "spread = \"112.5 mm\"")) << text;
  EXPECT_TRUE(has(text, "hammer_length = \"130 mm\"")) << text;
}

TEST(New, NeverReplacesACaseUnlessForced) {
  const ScratchFolder folder;
  const std::string path = folder.write("mine.toml", "# mine\n");
  const Ended e = run_with({"new", "-o", path}, "C4\n11 = 112.5\ndone\n");
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "there already")) << e.err;
  EXPECT_EQ(read_text(path), "# mine\n");
  EXPECT_EQ(run_with({"new", "-o", path, "--force"}, "C4\n11 = 112.5\ndone\n").exit_code, 0);
  EXPECT_TRUE(has(read_text(path), "spread = \"112.5 mm\""));
}

// A person at a terminal: each answer is typed when the prompt is there.
class AtTerminal {
 public:
  explicit AtTerminal(const std::vector<std::string>& words) {
    pid_ = forkpty(&fd_, nullptr, nullptr, nullptr);
    if (pid_ != 0) return;
    std::vector<char*> argv{const_cast<char*>(LEVERWRIGHT_PROGRAM)};
    for (const auto& w : words) argv.push_back(const_cast<char*>(w.c_str()));
    argv.push_back(nullptr);
    execv(LEVERWRIGHT_PROGRAM, argv.data());
    _exit(127);
  }
  ~AtTerminal() {
    close(fd_);
    if (pid_ <= 0) return;
    kill(pid_, SIGKILL);
    waitpid(pid_, nullptr, 0);
  }
  // Reads until `text` stands there; false after 300 s, or when the program has ended.
  bool wait_for(const std::string& text) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(300);
    while (seen_.find(text, from_) == std::string::npos) {
      pollfd in{fd_, POLLIN, 0};
      if (std::chrono::steady_clock::now() > end) return false;
      if (poll(&in, 1, 200) <= 0) continue;
      char buffer[4096];
      const ssize_t got = read(fd_, buffer, sizeof buffer);
      if (got <= 0) return false;
      seen_.append(buffer, static_cast<std::size_t>(got));
    }
    from_ = seen_.find(text, from_) + text.size();
    return true;
  }
  void type(const std::string& text) {
    EXPECT_EQ(write(fd_, text.data(), text.size()), static_cast<ssize_t>(text.size()));
  }
  // The exit code; -1 for a program that has not ended after 330 s.
  int end() {
    wait_for("\x04 never");  // until its terminal is closed, or 300 s
    int status = 0;
    const pid_t child = std::exchange(pid_, -1);
    for (int tries = 0; tries < 300; ++tries) {
      if (waitpid(child, &status, WNOHANG) == child) return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
      usleep(100'000);
    }
    kill(child, SIGKILL);
    waitpid(child, &status, 0);
    return -1;
  }
  const std::string& seen() const { return seen_; }

 private:
  int fd_ = -1;
  pid_t pid_ = -1;
  std::string seen_;
  std::size_t from_ = 0;
};

TEST(New, AtATerminalToTheEnd) {
  const ScratchFolder folder;
  AtTerminal t({"new", "-o", folder.path("mine.toml")});
  ASSERT_TRUE(t.wait_for("[C4] > ")) << t.seen();
  t.type("G3\n");
  ASSERT_TRUE(t.wait_for("1 of ")) << t.seen();
  t.type("11 = 112.5\n");
  ASSERT_TRUE(t.wait_for("changed")) << t.seen();
  t.type("done\n");
  EXPECT_EQ(t.end(), 0) << t.seen();
  EXPECT_TRUE(has(read_text(folder.path("mine.toml")), "name = \"G3\""));
}

TEST(New, CtrlCAtATerminalKeepsWhatWasGiven) {
  const ScratchFolder folder;
  AtTerminal t({"new", "-o", folder.path("mine.toml")});
  ASSERT_TRUE(t.wait_for("[C4] > ")) << t.seen();
  t.type("\n");
  ASSERT_TRUE(t.wait_for("1 of ")) << t.seen();
  t.type("54 = 129.5\n");
  ASSERT_TRUE(t.wait_for("changed")) << t.seen();
  ASSERT_TRUE(t.wait_for(" > ")) << t.seen();
  t.type("\x03");
  EXPECT_EQ(t.end(), 2) << t.seen();
  EXPECT_TRUE(has(read_text(folder.path("mine.sheet.csv")), "129.5"));
}

}  // namespace
}  // namespace leverwright::app_test

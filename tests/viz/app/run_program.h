// Runs the program with its output caught, without a terminal and without a display.
#pragma once
#include <sys/types.h>

#include <map>
#include <string>
#include <vector>

#include "tests/support/read_text.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::app_test {

using support::read_text;
using support::ScratchFolder;

struct Ended {
  int exit_code = -1;  // -1 when a signal ended it
  int signal = 0;
  std::string out, err;
};

using Environment = std::map<std::string, std::string>;

class Program {
 public:
  Program(const std::vector<std::string>& words, const Environment& environment = {},
          const std::string& standard_out = "", const std::string& standard_in = "/dev/null");
  ~Program();
  pid_t id() const { return pid_; }
  std::string err_so_far() const;
  // Waits until the talk holds `text`; false when the program ended or 400 s passed before.
  bool wait_for_talk(const std::string& text);
  bool is_running();
  Ended wait();  // 20 min at most: then the test fails and the program is killed

 private:
  ScratchFolder folder_;
  std::string out_path_, err_path_;
  bool sent_elsewhere_ = false;  // a device: there is nothing to read back
  pid_t pid_ = -1;
  bool ended_ = false;
  int status_ = 0;
};

Ended run(const std::vector<std::string>& words, const Environment& environment = {},
          const std::string& standard_in = "/dev/null");

// With standard output a pipe whose reader is gone before the program begins.
Ended run_into_a_closed_pipe(const std::vector<std::string>& words);

// cases/missed_heel/case.toml with a piece replaced; a test fails when the piece is not there.
std::string changed_case(const std::vector<std::pair<std::string, std::string>>& replacements);
std::vector<std::string> lines_of(const std::string& text);
bool has(const std::string& text, const std::string& piece);

inline const char* const kCase = "cases/missed_heel/case.toml";

}  // namespace leverwright::app_test

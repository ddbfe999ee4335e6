// The program's own help as a manual page and as completion for the shell: both are written from the options
// as the command line knows them, so that neither can say anything else.
#pragma once
#include <string>
#include <vector>

namespace leverwright::app {

struct HelpOption {
  std::vector<std::string> names;  // --out, -o; empty: a word by its place
  std::string metavar;             // what stands for the value; empty: a flag
  std::string about;
  std::string standard;              // default value as text; empty: none told
  std::vector<std::string> choices;  // empty: free
  bool required = false, many = false;
};

struct HelpVerb {
  std::string name, about, closing;  // closing: the example, as --help shows it
  std::vector<HelpOption> options;
};

struct Help {
  std::string version, about, closing;
  std::vector<HelpOption> options;
  std::vector<HelpVerb> verbs;
};

// roff, section 1.
std::string write_manual_page(const Help& help);
// For bash, on its own built-ins.
std::string write_bash_completion(const Help& help);

}  // namespace leverwright::app

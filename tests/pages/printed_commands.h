// Commands as pages and helps print them, made runnable: places such as CASE get a value, results go into a
// scratch folder, and what takes minutes gets its cheap variant.
#pragma once
#include <string>
#include <vector>

namespace leverwright::pages {

struct Printed {
  std::string where;  // "README.md:26"
  std::string text;   // as printed, without what stands behind it
};

// Commands of a page: indented lines and words between backquotes that begin with "leverwright ".
std::vector<Printed> find_commands(const std::string& path, const std::string& text);
// The examples at the end of a help text.
std::vector<Printed> find_examples(const std::string& verb, const std::string& help);

// Words of a command line, quotes taken off.
std::vector<std::string> split_words(const std::string& command);

// Words to run it with, without the program's own name. `scratch`: folder for what it writes; `study`: a
// results file to draw from.
std::vector<std::string> make_runnable(const std::string& command, const std::string& scratch,
                                       const std::string& study);

}  // namespace leverwright::pages

// The include rules as data: read from may_include.txt, closed over what the allowed folders may include, and
// applied to one include at a time.
#pragma once
#include <map>
#include <set>
#include <string>
#include <vector>

namespace leverwright::structure {

struct Include {
  std::string file;  // from the root: "sim/run/stepper.cpp"
  int line = 0;
  std::string target;  // what stands between the marks
  bool in_quotes = false;
};

// All include lines of one source text, comments and strings aside.
std::vector<Include> find_includes(const std::string& file, const std::string& text);

class IncludeRules {
 public:
  // Throws std::runtime_error on a line it cannot read, an unknown folder or arrows that form a circle.
  explicit IncludeRules(const std::string& text);

  // Empty when the include keeps the rules, else one sentence.
  std::string judge(const Include& include) const;
  // The listed folder a file belongs to; empty when there is none.
  std::string folder_of(const std::string& file) const;
  const std::map<std::string, std::set<std::string>>& allowed() const { return allowed_; }

 private:
  struct Library {
    std::string pattern;  // "toml++/*"
    std::set<std::string> folders;
  };
  std::map<std::string, std::set<std::string>> allowed_;  // closed, each folder itself included
  std::vector<Library> libraries_;
};

}  // namespace leverwright::structure

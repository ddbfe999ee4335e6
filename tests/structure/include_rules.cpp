#include "tests/structure/include_rules.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <functional>
#include <sstream>
#include <stdexcept>

namespace leverwright::structure {
namespace {

const std::string kOutermost = "viz/app";

bool starts_with(const std::string& text, const std::string& start) { return text.rfind(start, 0) == 0; }

bool matches(const std::string& header, const std::string& pattern) {
  if (pattern.back() == '*') return starts_with(header, pattern.substr(0, pattern.size() - 1));
  return header == pattern;
}

// Blanks out /* ... */ comments, line ends kept.
std::string without_block_comments(std::string text) {
  for (std::size_t at = text.find("/*"); at != std::string::npos; at = text.find("/*", at)) {
    const std::size_t end = text.find("*/", at + 2);
    const std::size_t stop = end == std::string::npos ? text.size() : end + 2;
    for (; at < stop; ++at)
      if (text[at] != '\n') text[at] = ' ';
  }
  return text;
}

std::vector<std::string> words_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> out;
  for (std::string word; in >> word;) out.push_back(word);
  return out;
}

}  // namespace

std::vector<Include> find_includes(const std::string& file, const std::string& text) {
  std::vector<Include> out;
  std::istringstream in(without_block_comments(text));
  int number = 0;
  for (std::string line; std::getline(in, line);) {
    ++number;
    std::size_t at = 0;
    const auto pass = [&](const std::string& word) {  // blanks, then the word
      at = std::min(line.find_first_not_of(" \t", at), line.size());
      if (line.compare(at, word.size(), word) != 0) return false;
      at += word.size();
      return true;
    };
    if (!pass("#") || !pass("include")) continue;
    const bool quoted = pass("\"");
    if (!quoted && !pass("<")) continue;
    const std::size_t end = line.find(quoted ? '"' : '>', at);
    if (end != std::string::npos) out.push_back({file, number, line.substr(at, end - at), quoted});
  }
  return out;
}

IncludeRules::IncludeRules(const std::string& text) {
  std::map<std::string, std::set<std::string>> direct;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    const std::size_t colon = line.find(": ") != std::string::npos ? line.find(": ") : line.size() - 1;
    if (line[colon] != ':') throw std::runtime_error("no folder in the line \"" + line + "\"");
    const std::string left = line.substr(0, colon);
    const auto right = words_of(line.substr(colon + 1));
    if (left.front() == '<')
      libraries_.push_back({left.substr(1, left.size() - 2), {right.begin(), right.end()}});
    else
      direct[left] = {right.begin(), right.end()};
  }
  std::set<std::string> inner;
  for (const auto& [folder, unused] : direct)
    if (folder != kOutermost && folder.find('/') != std::string::npos) inner.insert(folder);
  std::set<std::string> under_way;
  const std::function<const std::set<std::string>&(const std::string&)> close =
      [&](const std::string& folder) -> const std::set<std::string>& {
    if (const auto done = allowed_.find(folder); done != allowed_.end()) return done->second;
    if (direct.count(folder) == 0) throw std::runtime_error("\"" + folder + "\" is not in the list");
    if (!under_way.insert(folder).second) throw std::runtime_error("arrows form a circle through " + folder);
    std::set<std::string> all{folder};
    for (const std::string& next : direct[folder]) {
      if (next == "all") {
        all.insert(inner.begin(), inner.end());
        continue;
      }
      const auto& further = close(next);
      all.insert(further.begin(), further.end());
    }
    return allowed_[folder] = all;
  };
  for (const auto& [folder, unused] : direct) close(folder);
}

std::string IncludeRules::folder_of(const std::string& file) const {
  for (const auto& [folder, unused] : allowed_)
    if (starts_with(file, folder + "/")) return folder;
  return "";
}

std::string IncludeRules::judge(const Include& include) const {
  const auto say = [&](const std::string& what) {
    return fmt::format("{}:{}: includes \"{}\": {}", include.file, include.line, include.target, what);
  };
  const std::string from = folder_of(include.file);
  if (from.empty()) return say("its own folder is not in tests/structure/may_include.txt");
  if (!include.in_quotes) {
    for (const Library& library : libraries_)
      if (matches(include.target, library.pattern) && library.folders.count(from) == 0 && from != "tests")
        return say(fmt::format("this library is kept to {}", fmt::join(library.folders, ", ")));
    return "";
  }
  const std::string to = folder_of(include.target);
  if (to.empty()) return say("is not written from the root, or its folder is not listed");
  if (to == kOutermost && starts_with(include.file, "tests/" + kOutermost + "/")) return "";
  if (to == kOutermost && from != kOutermost) return say("nothing includes viz/app but its own tests");
  const std::set<std::string>& allowed = allowed_.at(from);
  if (allowed.count(to) == 0)
    return say(fmt::format("the arrow runs back; {} may include {}", from, fmt::join(allowed, ", ")));
  return "";
}

}  // namespace leverwright::structure

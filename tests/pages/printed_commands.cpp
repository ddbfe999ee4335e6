#include "tests/pages/printed_commands.h"

#include <algorithm>
#include <map>
#include <sstream>

namespace leverwright::pages {

namespace {

constexpr const char* kName = "leverwright ";

std::string without_tail(std::string line) {
  if (const auto remark = line.find(" # "); remark != std::string::npos) line.erase(remark);
  for (auto at = line.find("  "); at != std::string::npos;) {  // a description behind two blanks
    const auto next = line.find_first_not_of(' ', at);
    if (next == std::string::npos || line.compare(next, 6, "cases/") != 0) {
      line.erase(at);
      break;
    }
    line.replace(at, next - at, " ");
    at = line.find("  ", at + 1);
  }
  while (!line.empty() && line.back() == ' ') line.pop_back();
  return line;
}

std::string case_for(const std::string& verb) {
  static const std::map<std::string, std::string> table = {
      {"parts", "two_wippens"},         {"seek", "sought_heel"},
      {"map", "sought_heel"},           {"calibrate", "calibrate_sample_notes"},
      {"afterwards", "after_the_work"}, {"keyboard", "samples_to_88"},
      {"sheet", "work_order"},          {"order", "work_order"}};
  const auto found = table.find(verb);
  return "cases/" + (found == table.end() ? "missed_heel" : found->second);
}

// Options that make it short; none changes which code runs, only how often.
std::vector<std::string> cheap(const std::string& verb) {
  static const std::map<std::string, std::vector<std::string>> table = {
      {"compare", {"--no-uncertainty"}},
      {"keyboard", {"--every", "44", "--no-uncertainty"}},
      {"repeat", {"--step", "4", "--no-why"}},
      {"misadjust", {"--amount", "0.5", "--no-repetition"}},
      {"map", {"--steps", "3"}},
      {"sheet", {"--no-uncertainty"}},
      {"validation", {"--no-uncertainty"}}};
  const auto found = table.find(verb);
  return found == table.end() ? std::vector<std::string>{} : found->second;
}

}  // namespace

std::vector<Printed> find_commands(const std::string& path, const std::string& text) {
  std::vector<Printed> out;
  std::istringstream in(text);
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    const std::string where = path + ":" + std::to_string(number);
    if (line.rfind(std::string("    ") + kName, 0) == 0) {
      out.push_back({where, without_tail(line.substr(4))});
      continue;
    }
    for (auto at = line.find(std::string("`") + kName); at != std::string::npos;
         at = line.find(std::string("`") + kName, at + 1)) {
      const auto end = line.find('`', at + 1);
      if (end != std::string::npos) out.push_back({where, line.substr(at + 1, end - at - 1)});
    }
  }
  return out;
}

std::vector<Printed> find_examples(const std::string& verb, const std::string& help) {
  std::vector<Printed> out;
  std::istringstream in(help);
  bool there = false;
  for (std::string line; std::getline(in, line);) {
    there = there || line.rfind("Example", 0) == 0;
    const auto at = line.find_first_not_of(' ');
    if (there && at != std::string::npos && line.compare(at, std::string(kName).size(), kName) == 0)
      out.push_back({verb + " --help", line.substr(at)});
  }
  return out;
}

std::vector<std::string> split_words(const std::string& command) {
  std::vector<std::string> out;
  std::string word;
  bool quoted = false, any = false;
  for (const char c : command) {
    if (c == '"') {
      quoted = !quoted;
      any = true;
    } else if (c == ' ' && !quoted) {
      if (any) out.push_back(word);
      word.clear();
      any = false;
    } else {
      word += c;
      any = true;
    }
  }
  if (any) out.push_back(word);
  return out;
}

std::vector<std::string> make_runnable(const std::string& command, const std::string& scratch,
                                       const std::string& study) {
  std::vector<std::string> words = split_words(command);
  words.erase(words.begin());
  if (words.empty()) return {"--help"};
  const std::string verb = words[0];
  if (words.size() == 1 && verb != "cautions" && verb != "sheet") return {verb, "--help"};
  if (verb == "new") return {verb, "--help"};  // it asks; tests/viz/app/new_test.cpp answers
  if (verb == "jobs") return {verb, "cases/after_the_work/jobs"};
  const std::string folder = case_for(verb);
  std::vector<std::string> out;
  for (std::size_t k = 0; k < words.size(); ++k) {
    std::string w = words[k];
    if (w.size() > 2 && w.front() == '[' && w.back() == ']') w = w.substr(1, w.size() - 2);
    if (w == "CASE" || w == "case.toml") w = folder + "/case.toml";
    if (w == "NOTES.csv" || w == "THIS_FILE" || w == "measurements.csv") w = folder + "/measurements.csv";
    if (w == "STUDY.h5" || w.find(".h5") != std::string::npos) w = study;
    if (w == "FOLDER") w = scratch;
    if (w == "SET-UP") w = "capstan relocated";
    if (w == "NAME") w = "least slide friction";
    if (w == "SLOT") w = "wippen";
    if (w == "A") w = "wippen_twin_light";
    if (w == "B") w = "wippen_twin_heavy";
    // Files of the reader's own.
    const bool own = k > 0 && w.rfind("cases/", 0) != 0 && w.rfind("out/", 0) != 0;
    const auto ends = [&](const std::string& tail) {
      return w.size() > tail.size() && w.compare(w.size() - tail.size(), tail.size(), tail) == 0;
    };
    if (verb == "parts" && k > 1 && folder != words[1]) {
      if (k == 2 && words.size() > 4 && words[3].find(".toml") != std::string::npos) w = "wippen";
      if (k == 3 && ends(".toml")) w = "wippen_twin_light";
      if (k == 4 && ends(".toml")) w = "wippen_twin_heavy";
    }
    if (own && ends(".toml")) w = folder + "/case.toml";
    if (w == "stroke.csv") w = scratch + "/stroke.csv";
    if (k > 0 && words[k - 1] == "--read") w = "cases/work_order/filled.csv";
    if (k > 0 && words[k - 1] == "--notes" && ends(".csv")) w = "cases/work_order/before.csv";
    if (own && ends(".csv") && words[k - 1].rfind("--", 0) != 0 && verb != "play")
      w = folder + "/measurements.csv";
    // Nothing is written beside the sources.
    const bool names_output =
        k > 0 && (words[k - 1] == "--out" || words[k - 1] == "-o" || words[k - 1] == "--json" ||
                  words[k - 1] == "--csv" || words[k - 1] == "--frames");
    if (w.rfind("out/", 0) == 0 || (names_output && w != "-" && w.rfind(scratch, 0) != 0)) {
      std::replace(w.begin(), w.end(), '/', '_');
      w = scratch + "/" + w;
    }
    out.push_back(w);
  }
  for (const auto& [option, count] : {std::pair<const char*, int>{"--monte-carlo", 1},
                                      {"--steps", 1},
                                      {"--step", 1},
                                      {"--amount", 1},
                                      {"--every", 1},
                                      {"--uncertainty", 0},
                                      {"--film", 1}}) {
    const auto at = std::find(out.begin(), out.end(), option);
    if (at != out.end()) out.erase(at, at + 1 + count);
  }
  for (const auto& w : cheap(verb))
    if (w[0] != '-' || std::find(out.begin(), out.end(), w) == out.end()) out.push_back(w);
  return out;
}

}  // namespace leverwright::pages

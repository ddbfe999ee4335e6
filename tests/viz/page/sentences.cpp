// What the judgement says, line by line: every invented situation at the bench (tests/models/judgement/situations.txt),
// with the names and advice of real doubts put into it in turn; and all of those by themselves. german.mjs reads it.
//   sentences SITUATIONS.txt
#include "models/judgement/sentences.h"

#include <cstdio>
#include <set>

#include "models/case_file/schema.h"
#include "models/case_file/trade_names.h"
#include "tests/models/judgement/situations.h"

namespace {

using namespace leverwright;

constexpr const char* kFails[] = {"let-off", "the specification is not met",
                                  "what the doubts do to it is not known: jams: capstan on heel cloth",
                                  "cannot be weighed: the action could not be regulated"};
std::set<std::string> said;

void say(const std::string& text) {
  if (!text.empty() && said.insert(text).second) std::printf("%s\n", text.c_str());
}

// As models/study puts a doubt: its name and what the bench does about it.
std::vector<std::string> real_doubts() {
  std::vector<std::string> out;
  for (const auto& [path, key] : case_file::schema().keys)
    for (const char* head : {"measured.", "friction.", "contact.", "wippen.", "capstan.", "hammer.", "key.",
                             "frame.", "shank.", "string.", "balance_punching.", "damper.", "check_wire."})
      if (path.rfind(head, 0) == 0)
        out.push_back(case_file::trade_name(path) + "; " + case_file::how_to_learn(path));
  for (const char* own : {"trace of the heel, along the wippen", "trace of the heel, height"})
    out.push_back(std::string(own) + "; " + case_file::how_to_learn("wippen.heel_profile"));
  for (const char* own : {"lead 1: mass", "lead 2: place"})
    out.push_back(std::string(own) + "; measure again: " + own);
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const auto doubts = real_doubts();
  for (const std::string& d : doubts) {
    say(d.substr(0, d.find("; ")));
    say(d.substr(d.find("; ") + 2));
  }
  std::size_t next = 0;
  for (auto& s : judgement_test::read_situations(argv[1]))
    for (int round = 0; round < 4; ++round) {
      for (auto& d : s.question.doubts) d = doubts[next++ % doubts.size()];
      for (auto& note : s.question.notes) {  // real reasons, too
        if (!note.fails.empty()) note.fails = kFails[round];
        for (auto& move : note.moves) {
          if (!move.fails.empty()) move.fails = kFails[round];
          if (!move.over_limit.empty()) move.over_limit = "front weight comes over its limit";
        }
      }
      const auto verdict = judgement::judge(s.question);
      for (const auto& [label, text] : judgement::answer_lines(s.question, verdict)) {
        say(label);
        say(text);
      }
      for (const auto& move : verdict.moves) say(judgement::move_words(s.question, move));
    }
  return 0;
}

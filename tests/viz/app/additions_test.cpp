// A verb as DEVELOPERS.md says how to add one: it compiles, is read, runs, and stands in help, manual page and
// completion without another line.
#include <gtest/gtest.h>

#include "sim/base/error.h"
#include "tests/viz/app/run_program.h"
#include "viz/app/help_text.h"
#include "viz/app/parse.h"
#include "viz/app/verb_run.h"
#include "viz/app/verbs/list.h"
#include "viz/table/document.h"

namespace leverwright::app_test {
namespace {

using app::App;
using app::Verb;
using app::VerbRun;

struct Request {
  int steps = 3;
  std::string way = "slow";
  bool loud = true;
};

int count_steps(const Request& r, VerbRun& run) {
  run.open();
  table::Document d("steps");
  d.note("Steps counted.");
  table::Table& t = d.table("steps");
  t.columns = {{"step", "step", "step", "", 6}};
  for (int k = 1; k <= r.steps; ++k) t.add({k});
  d.details("how");
  d.note(r.way + (r.loud ? ", loud" : ", quiet"));
  run.write(d);
  return run.end();
}

void add_count(App& a) {
  Verb& verb = a.add("count", "Count steps.", {"count --steps 4"});
  Request& r = verb.request(count_steps);
  verb.add("--steps", "N", "Count to N.", &r.steps, "3").between(1, 9);
  verb.add("--way", "WAY", "Go this way.", &r.way, "slow").one_of({"slow", "fast"});
  verb.add_off("--no-loud", "Count in silence.", &r.loud);
  verb.add_all("Show how.");
  verb.add_out("Write into FOLDER.", "none");
  verb.add_csv();
  verb.add_json();
}

struct Outcome {
  int code = -1;
  std::string problem;
};

Outcome run_words(std::vector<std::string> words) {
  App a;
  add_count(a);
  words.insert(words.begin(), {"leverwright", "count"});
  std::vector<char*> argv;
  for (auto& w : words) argv.push_back(w.data());
  Outcome out;
  try {
    const app::Parsed parsed = app::parse(a, static_cast<int>(argv.size()), argv.data());
    const app::Terminal terminal;
    VerbRun run(terminal, parsed.verb->outputs);
    out.code = parsed.verb->run(run);
  } catch (const base::UserError& e) {
    out.problem = e.what();
  }
  return out;
}

TEST(Additions, AVerbWritesWhatItsDocumentHolds) {
  const ScratchFolder folder;
  // A file of numbers may stand in the folder that the run makes.
  const std::string out = folder.path("new"), csv = out + "/a.csv", json = folder.path("a.json");
  const Outcome done = run_words({"--steps", "4", "--no-loud", "--out", out, "--csv", csv, "--json", json});
  EXPECT_EQ(done.code, 0) << done.problem;
  EXPECT_EQ(read_text(csv), "step\n1\n2\n3\n4\n");
  EXPECT_TRUE(has(read_text(json), "\"format\": \"leverwright steps\""));
  EXPECT_TRUE(has(read_text(json), "\"step\": 4"));
}

TEST(Additions, WhatAVerbHasNoUseForIsTold) {
  EXPECT_TRUE(has(run_words({"--steps", "10"}).problem, "1 to 9"));
  EXPECT_TRUE(has(run_words({"--way", "fats"}).problem, "did you mean --way fast?"));
  EXPECT_TRUE(has(run_words({"--step", "2"}).problem, "did you mean --steps?"));
  EXPECT_TRUE(has(run_words({"--json", "-", "--csv", "-"}).problem, "both"));
}

TEST(Additions, AVerbStandsInHelpManualAndCompletion) {
  App a;
  app::add_verbs(a);
  add_count(a);
  EXPECT_TRUE(has(app::write_help(a), "  count       Count steps."));
  const std::string help = app::write_help(a, a.verbs.back());
  EXPECT_TRUE(has(help, "\n  --steps N ")) << help;
  EXPECT_TRUE(has(help, " Count to N (3 when left out).\n")) << help;
  EXPECT_TRUE(has(help, "Go this way [slow, fast] (slow when left out)."));
  EXPECT_TRUE(has(help, "leverwright count --steps 4"));
  EXPECT_TRUE(has(app::write_manual_page(a), ".SS \"count [options]\""));
  EXPECT_TRUE(has(app::write_bash_completion(a), "\"count --way\") words='slow fast'"));
}

}  // namespace
}  // namespace leverwright::app_test

// Set-ups of a case as the verbs take them: found by name, regulated, weighed, played.
#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/study/compare.h"
#include "sim/base/error.h"
#include "viz/app/verb_run.h"

namespace leverwright::app {

// Index of the set-up of this name, 0 for ""; UserError with the nearest name.
std::size_t find_set_up(const case_file::CaseDescription& description, const std::string& name);
// The case with only the base and this set-up left.
case_file::CaseDescription only_set_up(const case_file::CaseDescription& description, std::size_t index);
// The set-up cannot be regulated or weighed: nothing can be said of it. `who` comes before its name: "the
// base ".
base::UserError without_answer(const case_file::SetUp& set_up, const study::SetUpResult& result,
                               const std::string& who = "");
// It cannot be played, weighed, ... ("played"), with what to look at.
base::UserError without_use(const std::string& case_path, const study::SetUpResult& result,
                            const std::string& what);
base::UserError without_any_use(const std::string& case_path);
// This set-up ("": the base) regulated against the base, weighed, and these touches played on it.
study::SetUpResult solve_one(const case_file::CaseDescription& description, const std::string& set_up,
                             const std::vector<std::string>& touches, const Terminal& terminal);
// Every set-up regulated and weighed; an interrupt keeps the finished ones. `judged`: with uncertainties, and so with
// the judgement that compare gives.
study::Comparison regulate_set_ups(const case_file::CaseDescription& description, VerbRun& run,
                                   bool judged = false);
// UserError with every fault of a results file that does not keep the standard: pictures rely on it.
void need_sound_study(const std::string& path);

}  // namespace leverwright::app

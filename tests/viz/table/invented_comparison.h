// A comparison made up number by number, for tables: nothing is solved.
#pragma once
#include "models/study/compare.h"

namespace leverwright::table_test {

// A base and `others` set-ups with general numbers; with uncertainties when asked for.
study::Comparison invented_comparison(int others, bool uncertainty);
// The case that belongs to it: names, and one change each ("capstan moved", "heel build-up", "friction" in
// turn).
case_file::CaseDescription invented_case(int others);

}  // namespace leverwright::table_test

// What a technician needs at the bench for each set-up: screws, clearances, leads, what can be taken back.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "models/study/compare.h"
#include "viz/table/text.h"

namespace leverwright::table {

// Nothing finer than a hand sets (common practice, no source) is asked for.
inline constexpr double kLeastTurn = 0.1;           // a screw that moves less is left alone
inline constexpr double kLeastMove = 0.05e-3;       // m, of a screw's own travel or of paper
inline constexpr double kLeastCheck = 0.2e-3;       // m; the check's height is found to 0.1 mm
inline constexpr double kLeastSpring = 0.5e-3;      // N m; less does not show in rest and let-off
inline constexpr double kLeastKeyHeight = 0.02e-3;  // m; under it the key height is unchanged
inline constexpr double kLeastLead = 0.5e-3;        // kg; less is not worth a hole

// One screw against the base, in words.
struct ScrewAdvice {
  std::string screw;      // "capstan"
  std::string direction;  // "down"
  std::string amount;     // "0.85 turn (0.85 mm)"; "0.26 mm of paper"
  std::string left;       // "3.1 mm of thread left"; empty where there is no thread
  bool leave = false;
};
// True when a screw moved by this many turns is not worth touching.
bool is_left_alone(action::Screw screw, double turns, double pitch);
std::vector<ScrewAdvice> find_screw_advice(const study::SetUpResult& set_up);

// "add one 14 g lead at 148 mm", "add two 12 g leads at 131 mm", "take out 14 g at 148 mm", "none needed".
std::string lead_words(const study::SetUpResult& set_up);
// The same with its reason: what the balance weight is and what is wanted, front weight then and now.
std::string balance_words(const case_file::CaseDescription& description, const study::SetUpResult& set_up);
// "unchanged", "0.12 mm higher", "0.30 mm lower".
std::string key_height_words(const study::SetUpResult& set_up);

std::string write_bench(const case_file::CaseDescription& description, const study::Comparison& comparison,
                        const Look& look);
// Rows of one text for each set-up, set-ups across, in blocks where they do not fit beside each other.
using AcrossRows = std::vector<std::pair<std::string, std::vector<std::string>>>;
std::string write_across(const study::Comparison& comparison, const AcrossRows& rows, const Look& look,
                         int column = 10);
// Clearances and places, set-ups across.
std::string write_clearances(const study::Comparison& comparison, const Look& look);

}  // namespace leverwright::table

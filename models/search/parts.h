// Two parts of one kind side by side: what each dimension in which they differ does alone, and what they do
// together.
//
// With A in the action, one dimension after the other is given B's value, the action is regulated afresh and
// weighed: the effect of that difference alone. With all of them it is B. Where the sum of the single effects
// differs from the whole, dimensions work through one another (a lever times a weight): the interaction.
// Weight and centre friction of the parts take part as dimensions where their files give them, or where
// set-ups are compared; else both have what the case measured.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/search/trial.h"

namespace leverwright::search {

// How the note repeats (repetition.h), on a coarse ladder; NaN where it was not played.
enum PartRepetitionNumber : std::size_t {
  kUnbrokenFull,     // [1/s]
  kUnbrokenPartial,  // [1/s]
  kLeastReturn,      // least return that sounds [m]
  kResetTime,        // jack reset time [s]
  kPartRepetitionCount
};
extern const std::array<study::MeasureInfo, kPartRepetitionCount> kPartRepetition;
using PartRepetition = std::array<double, kPartRepetitionCount>;

struct PartDifference {
  std::string key;               // "wippen.jack_centre_x"
  std::string name;              // "jack centre x"
  std::string value_a, value_b;  // as a case would write them
  bool counted = false;          // alone it could be regulated and weighed
  std::string why;               // not counted
  TrialNumbers effect{};         // against A, SI
  PartRepetition repetition{};   // against A, SI; NaN when not asked for
};

struct PartsComparison {
  std::string slot, name_a, name_b;
  Trial a, b;
  std::vector<PartDifference> differences;  // largest effect on `ranked_by` first, those not counted last
  std::size_t ranked_by = study::kBalanceWeight;
  int alike = 0;               // dimensions in which they do not differ
  bool whole = false;          // false: stopped before all were tried
  TrialNumbers together{};     // B less A
  TrialNumbers sum{};          // of the single effects counted
  TrialNumbers interaction{};  // together less sum
  bool with_repetition = false;
  PartRepetition repetition_a{}, repetition_b{};
};

// `part_a`, `part_b`: a part file's name, a path to one (ending in .toml), or the name of a set-up of the
// case.
struct PartsRequest {
  std::string slot, part_a, part_b;
  std::size_t ranked_by = study::kBalanceWeight;
  std::function<bool(double share)> progress;  // false stops; never called by two threads at once
  // Also set check and spring by playing and play rows of strokes with each: some seconds each.
  bool repetition = false;
};

// Throws base::UserError for an unknown part or slot, equal parts, or an A or B that cannot be regulated.
PartsComparison compare_parts(const case_file::CaseDescription& description, const PartsRequest& request);

// Why the two weigh off differently, in a few sentences.
std::string explain_parts(const PartsComparison& comparison);

}  // namespace leverwright::search

// Short words for the rows of remedies. Only the files of remedies include it.
//
// Hours, worries and reversibility of every row: common practice, no source.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "models/case_file/remedy.h"
#include "models/case_file/schema_rows.h"

namespace leverwright::remedies {

using case_file::ArgumentSpec;
using case_file::Change;
using case_file::Claim;
using case_file::kNotReversible;
using case_file::kUndoneInMinutes;
using case_file::kUndoneWithWork;
using case_file::Remedy;
using case_file::RemedyRow;
using case_file::WordsFrom;

// `sigma`: of an amount written without one.
inline ArgumentSpec amount(const char* name, case_file::Dimension d, const char* sigma, const char* range,
                           const char* description,
                           case_file::Presence presence = case_file::Presence::kRequired,
                           const char* default_text = "", char group = ' ') {
  return {name, group, presence, d, WordsFrom::kQuantity, {}, default_text, sigma, range, description};
}

inline ArgumentSpec word(const char* name, std::vector<std::string> words, const char* description,
                         const char* usual = "", char group = ' ') {
  const auto presence = *usual ? case_file::Presence::kDefault : case_file::Presence::kRequired;
  return {name, group, presence,   case_file::Dimension::kNumber, WordsFrom::kList, std::move(words), usual,
          "",   "",    description};
}

inline ArgumentSpec word_from(const char* name, WordsFrom from, const char* description, char group = ' ') {
  return {name, group,      case_file::Presence::kRequired, case_file::Dimension::kNumber, from, {}, "", "",
          "",   description};
}

// Wool cloth as it is laid on heels.
inline ArgumentSpec cloth_density() {
  return amount("density", case_file::Dimension::kDensity, "", "0.1 to 1.2 g/cm3",
                "density of what is put in (wool cloth)", case_file::Presence::kDefault,
                "0.35 g/cm3 (0.2 to 0.6 g/cm3)");
}

inline ArgumentSpec heel_width() {
  return amount("width", case_file::Dimension::kLength, "0.5 mm", "4 to 20 mm",
                "width of the heel across the action", case_file::Presence::kDefault, "10 mm +- 0.5 mm");
}

inline void claim_if_given(std::vector<Claim>& out, const Change& c, const char* amount_name,
                           const char* path) {
  if (c.has(amount_name)) out.push_back({path, path});
}

}  // namespace leverwright::remedies

// What has to be said beside advice: which moves cannot be taken back, what usually goes wrong with each,
// what is dangerous about the work, and what the model cannot see.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/remedy.h"
#include "models/study/compare.h"
#include "viz/table/text.h"

namespace leverwright::table {

struct Caution {
  std::string about;  // "key leads"
  std::string text;
  bool always = false;   // else only beside remedies that bring it (RemedyRow::hazards, undone)
  std::string in_short;  // beside advice that is no order; empty: only in full
};
const std::vector<Caution>& all_cautions();

// "yes", "partly" or "no": as little reversible as its least reversible change.
std::string reversible(const case_file::SetUp& set_up);

// Remedies in the set-ups; leads as well when they are advised.
case_file::RemedyList remedies_of(const case_file::CaseDescription& description,
                                  const study::Comparison& comparison);
// Those of all_cautions() that these remedies bring.
std::vector<Caution> find_cautions(const case_file::RemedyList& list);

std::string write_cautions(const std::vector<Caution>& cautions, const Look& look);
// "drilling: clamp the key, ...; springs: ..." of these remedies and of what always holds; a paragraph of it.
std::string short_cautions(const case_file::RemedyList& list);
std::string write_short_cautions(const case_file::RemedyList& list, const Look& look);
std::string write_cautions(const case_file::CaseDescription& description, const study::Comparison& comparison,
                           const Look& look);

}  // namespace leverwright::table

// What has to be said beside advice: which moves cannot be taken back, what usually goes wrong with each,
// what is dangerous about the work, and what the model cannot see.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"
#include "viz/table/text.h"

namespace leverwright::table {

struct Caution {
  std::string about;  // "key leads"
  std::string text;
  std::vector<std::string> kinds;  // kinds of change it belongs to; empty: always
  std::string in_short;            // beside advice that is no order; empty: only in full
};
const std::vector<Caution>& all_cautions();

// The usual worry of a kind of change; every kind of the schema has one (tested).
const std::string& usual_worry(const std::string& kind);

// "yes", "partly" or "no": as little reversible as its least reversible change.
std::string reversible(const case_file::SetUp& set_up);

// Kinds of change in the set-ups; "lead" as well when leads are advised.
std::vector<std::string> kinds_of(const case_file::CaseDescription& description,
                                  const study::Comparison& comparison);
// Those of all_cautions() that belong to these kinds.
std::vector<Caution> find_cautions(const std::vector<std::string>& kinds);

std::string write_cautions(const std::vector<Caution>& cautions, const Look& look);
// "drilling: clamp the key, ...; springs: ..." of these kinds and of what always holds; a paragraph of it.
std::string short_cautions(const std::vector<std::string>& kinds);
std::string write_short_cautions(const std::vector<std::string>& kinds, const Look& look);
std::string write_cautions(const case_file::CaseDescription& description, const study::Comparison& comparison,
                           const Look& look);

}  // namespace leverwright::table

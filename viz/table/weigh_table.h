// One set-up weighed: weights, friction by place, and where the contacts rub.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"
#include "viz/table/document.h"

namespace leverwright::table {

// Friction by place, N at the playing point: the set-up's mean ledger (models/action/path_facts.h) with
// rubbing and cloth of a place in one line. `rows` and `stored` add up to `half_difference`.
struct LedgerLine {
  std::string place;
  double friction = 0;  // dry friction
  double cloth = 0;     // lost inside cloth, felt or leather
  double whole() const { return friction + cloth; }
};
struct LedgerMeans {
  std::vector<LedgerLine> rows;  // largest first
  double stored = 0;             // half the difference of the stored energy's rates
  double half_difference = 0;    // of the force going down and coming up
};
LedgerMeans find_ledger_means(const study::SetUpResult& set_up);

// How one contact travels on its mate (button and drop screw: on the part that meets them) from rest to full
// dip.
struct SlideLine {
  std::string place, mate_words;
  double least = 0, most = 0;  // the mark it wears on the mate, m
  double slid = 0;             // sliding distance to full dip, all reversals added, m
  double slid_to_let_off = 0;  // m
  int reversals = 0;
  double normal_least = 0, normal_most = 0;  // N
  double work = 0;                           // J
};
std::vector<SlideLine> find_slide_lines(const study::SetUpResult& set_up);

// Friction by place, set-ups across: the places that matter in any of them.
std::string write_friction_places(const study::Comparison& comparison, const Look& look);

// Of a set-up that could be weighed. Case and set-up have to outlive it.
Document weighing_document(const case_file::CaseDescription& description, const study::SetUpResult& set_up);

}  // namespace leverwright::table

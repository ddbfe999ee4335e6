// Bench sheet and work order as HTML pages for paper: self-contained, A4 or Letter, black on white, boxes to
// tick and lines a pencil has room on.
#pragma once
#include <string>
#include <vector>

#include "models/bench/accuracy.h"
#include "models/bench/order.h"
#include "models/case/case_description.h"

namespace leverwright::bench_pages {

struct SheetPage {
  const case_file::CaseDescription* description = nullptr;  // drawn from
  const case_file::CaseDescription* known = nullptr;        // filled in from; nullptr: blank
  const bench::AccuracyPlan* plan = nullptr;
  std::vector<std::string> notes;
  bool supplement = false, with_case = true;
  std::string paper = "A4";  // or "Letter"
};

// Throws base::UserError when the case's base cannot be drawn.
std::string write_sheet_page(const SheetPage& page);
std::string write_order_page(const case_file::CaseDescription& description, const bench::WorkOrder& order,
                             const std::string& paper);

}  // namespace leverwright::bench_pages

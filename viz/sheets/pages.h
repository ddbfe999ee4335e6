// Bench sheet and work order as HTML pages for paper: self-contained, A4 or Letter, black on white, boxes to
// tick and lines a pencil has room on.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/accuracy.h"
#include "models/workshop/order.h"

namespace leverwright::sheets {

struct SheetPage {
  const case_file::CaseDescription* description = nullptr;  // drawn from
  const case_file::CaseDescription* known = nullptr;        // filled in from; nullptr: blank
  const workshop::AccuracyPlan* plan = nullptr;
  std::vector<std::string> notes;
  std::string new_part;  // slot that has a column for a new part beside the notes'; "": none
  bool supplement = false, with_case = true;
  std::string paper = "A4";  // or "Letter"
};

// Throws base::UserError when the case's base cannot be drawn.
std::string write_sheet_page(const SheetPage& page);
std::string write_order_page(const case_file::CaseDescription& description, const workshop::WorkOrder& order,
                             const std::string& paper);

}  // namespace leverwright::sheets

// The drawings of bench sheet and work order, in shades that a black-and-white printer keeps apart. All are
// to scale, from the model's own outlines. SVG texts.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/workshop/order.h"
#include "models/workshop/sheet_lines.h"

namespace leverwright::sheets {

struct Picture {
  std::string svg, alt, caption;
};

// Side view, key, heel with capstan, hammer, in this order; the numbers are those of the sheet's lines.
// Throws base::UserError when the base cannot be regulated.
std::vector<Picture> draw_sheet(const case_file::CaseDescription& description);

// Squared paper for the trace of the heel, a millimetre to the square at twice the size.
Picture draw_trace_paper();

// Heel and capstan before and after with their dimensions; the key with what moves along it; else the whole
// action, both set-ups.
std::vector<Picture> draw_order(const case_file::CaseDescription& description,
                                const workshop::WorkOrder& order);

}  // namespace leverwright::sheets

// A work order in the terminal and for other programs, and the words that its printed page shares with them.
#pragma once
#include <string>
#include <vector>

#include "models/workshop/order.h"
#include "viz/table/cautions.h"
#include "viz/table/document.h"

namespace leverwright::table {

// One screw on the way to the specification, in the order in which they are set.
struct RegulationLine {
  std::string screw, target, move;  // move: "down 0.25 turn (0.25 mm), 4.2 mm of thread left"; "leave"
  int index = -1;                   // action::Screw; -1 where a hand sets no screw
};
std::vector<RegulationLine> find_regulation_lines(const workshop::WorkOrder& order);

// "+- 0.42 mm", "over +- 1.5 mm" where more would do, "" where none is asked.
std::string tolerance_words(const workshop::OrderMark& mark);
// "1 gf of down weight, 0.5 gf of friction or 0.1 mm of aftertouch".
std::string allowed_words(const workshop::WorkOrder& order);
// What is done before and after the tasks, a sentence or two each.
std::vector<std::string> steps_before(const workshop::WorkOrder& order);
std::vector<std::string> steps_after(const case_file::CaseDescription& description,
                                     const workshop::WorkOrder& order);
// When to stop.
std::vector<std::string> stop_rules(const workshop::WorkOrder& order);
// "NOT REVERSIBLE", "undone with work or parts", "undone in minutes".
std::string reversible_words(const workshop::OrderTask& task);
// Those that belong to the work ordered, leads that restore the balance weight included.
std::vector<Caution> order_cautions(const case_file::CaseDescription& description,
                                    const workshop::WorkOrder& order);

// Marks, screws, what must be found, when to stop; every step as a detail. Case and order have to outlive it.
Document order_document(const case_file::CaseDescription& description, const workshop::WorkOrder& order);
std::string write_order_json(const case_file::CaseDescription& description, const workshop::WorkOrder& order);

}  // namespace leverwright::table

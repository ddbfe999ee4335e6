// sheet and order: paper for the bench. The sheet is what measurements are written on, and read back into a
// case; the order is what to do for a chosen set-up.
#pragma once
#include <string>

#include "viz/app/terminal.h"

namespace leverwright::app {

struct SheetRequest {
  std::string case_path, out;  // case "": the blank case; out "": out/<case name>
  std::string notes;           // names of the sample notes, "C4,G3,E5"; "": the case's own and blanks
  std::string paper = "A4";    // or "Letter"
  std::string filled;          // a filled sheet to read back; "": print one
  bool blank = false;          // known values are not filled in
  bool parts = false;          // with the page of positions and the heel's trace
  bool uncertainty = true;     // work out which measurements matter most
  std::string json;            // "": none; "-": standard output
};
int run_sheet(const SheetRequest& request, const Terminal& terminal);

struct OrderRequest {
  std::string case_path, set_up, out;  // out "": out/<case name>
  std::string notes;                   // measurements file of the sample notes before the work; "": none
  std::string paper = "A4";
  double weight = 1, friction = 0.5, length = 0.1;  // gf, gf, mm: what one amount may move
  std::string json;                                 // as above
  bool prior_only = false;                          // readings as found are compared, not leaned on
};
int run_order(const OrderRequest& request, const Terminal& terminal);

}  // namespace leverwright::app

#include "viz/table/notes.h"

namespace leverwright::table {

std::string write_notes(const case_file::CaseDescription& d, const Look& look) {
  if (d.notes.empty()) return "";
  std::string out = "\n" + paint("What this rests on", Colour::kHeading, look) + "\n";
  for (const std::string& note : d.notes) out += wrap(note, look.width, "- ", "  ");
  return out;
}

}  // namespace leverwright::table

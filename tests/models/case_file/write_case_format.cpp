// Renews the schema's tables in a document, in place:
//     write_case_format models/handbook/case_format.md
#include <fstream>

#include "models/case_file/format_tables.h"
#include "models/remedies/all.h"
#include "tests/support/read_text.h"

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const std::string text = leverwright::support::read_text(argv[1]);
  std::ofstream(argv[1]) << leverwright::case_file::renew_tables(text, leverwright::remedies::all());
  return 0;
}

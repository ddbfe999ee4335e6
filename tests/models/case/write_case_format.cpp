// Renews the schema's tables in a document, in place:
//     write_case_format models/handbook/case_format.md
#include <fstream>
#include <iostream>
#include <sstream>

#include "models/case/format_tables.h"

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  std::ifstream in(argv[1]);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in) {
    std::cerr << "cannot read " << argv[1] << "\n";
    return 1;
  }
  std::ofstream(argv[1]) << leverwright::case_file::renew_tables(text.str());
  return 0;
}

// Records of jobs done, and what they say together.
#pragma once
#include <string>
#include <vector>

#include "models/workshop/shop_memory.h"
#include "viz/table/document.h"

namespace leverwright::table {

struct JobRecords {
  std::vector<workshop::Job> jobs;    // by file name
  std::vector<std::string> left_out;  // "FILE: why": JSON files that are no such record
};
// Every file of the folder, and of those below it, that `afterwards --json` wrote. base::UserError when the folder
// cannot be read or holds none.
JobRecords read_jobs(const std::string& folder);

Document jobs_document(const JobRecords& records);

}  // namespace leverwright::table

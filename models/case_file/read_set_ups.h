// Reads [[set_up]] and [[set_up.change]].
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/case_file/document.h"
#include "models/case_file/remedy.h"

namespace leverwright::case_file {

std::vector<SetUp> read_set_ups(const Node& list, const FileText& file, const std::string& models_directory,
                                const RemedyList& remedies, ProblemList& problems);

}  // namespace leverwright::case_file

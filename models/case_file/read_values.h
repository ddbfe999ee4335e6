// Reads entries (quantities, choices, point lists) of case, part and material files against the schema.
#pragma once
#include <map>
#include <set>
#include <string>

#include "models/case_file/case_description.h"
#include "models/case_file/document.h"

namespace leverwright::case_file {

// What one file, or one file for one slot or place, has given.
struct Values {
  std::map<std::string, Quantity> quantities;
  std::map<std::string, std::string> choices;
  std::map<std::string, PointList> point_lists;
  std::map<std::string, Origin> places;  // of choices
  std::set<std::string> tried;           // every path written, readable or not
};

// Which file is read, and how strict it is about sources.
struct SourceRules {
  const FileText* file = nullptr;
  bool source_required = false;  // part and material files
  std::string shown_below;       // this beginning of paths is left out of messages ("wippen.")
};

Origin origin_of(const FileText& file, int line);

// One entry whose path the schema knows.
void read_value(const std::string& path, const Node& node, const SourceRules& origin, Values& values,
                ProblemList& problems);

// A section and everything below it; unknown keys and sections are problems.
void read_section(const std::string& path, const Node& table, const SourceRules& origin, Values& values,
                  ProblemList& problems);

// Adds the "unknown key" problem; returns the path of the known key that seems to be meant, or "".
std::string add_unknown_key(const std::string& path, int line, const SourceRules& origin,
                            ProblemList& problems);

// True when the path is a quantity, choice or point list of the schema.
bool is_known_path(const std::string& path);

}  // namespace leverwright::case_file

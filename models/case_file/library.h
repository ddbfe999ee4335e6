// Part files (models/parts/<id>.toml) and material files (models/materials/<id>.toml).
#pragma once
#include <string>
#include <vector>

#include "models/case_file/read_values.h"

namespace leverwright::case_file {

// One look-up: which file is wanted, and the place in the case that asks for it.
struct LibraryRequest {
  std::string models_directory;
  std::string name;  // slot or contact place
  std::string id;
  const FileText* asking_file = nullptr;
  int asking_line = 0;
};

// Reads the part for a slot: its keys come back as "<slot>.<key>". False after adding problems that leave
// nothing to read (no such file, not TOML).
bool read_part(const LibraryRequest& request, Values& values, ProblemList& problems);

// All values of a part that is to replace another: `id` is a part file's name or, ending in .toml, the path of
// a file anywhere. Throws base::UserError.
Values read_whole_part(const std::string& models_directory, const std::string& slot, const std::string& id);

// Reads the material for a contact place: its keys come back as "contact.<place>.<key>".
bool read_material(const LibraryRequest& request, Values& values, ProblemList& problems);

// The line "format = 1" of a case, part or material file, needed only once there is a second format: a problem when the
// number is newer than kCaseFormat or none. `what`: "case".
void check_format(const FileText& file, const Node& node, const std::string& what, ProblemList& problems);

// Required paths below a section ("wippen", "contact.capstan_heel") that the values do not give.
std::vector<std::string> missing_below(const std::string& section, const Values& values);

// Names of the part files for a slot.
std::vector<std::string> known_parts(const std::string& models_directory, const std::string& slot);

// Names of the files in models/<folder>, without ".toml", in alphabetical order.
std::vector<std::string> known_ids(const std::string& models_directory, const std::string& folder);

// Where the file of this name is looked for: "wippen_original" in models/parts, "wippen_new.toml" beside the file that
// asks for it, `asking_path`.
std::string library_path(const std::string& models_directory, const std::string& folder,
                         const std::string& id, const std::string& asking_path = "");

}  // namespace leverwright::case_file

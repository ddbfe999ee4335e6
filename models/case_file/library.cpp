#include "models/case_file/library.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "models/case_file/nearest.h"
#include "models/case_file/read_case.h"
#include "models/case_file/schema.h"

namespace leverwright::case_file {

namespace {

bool is_plain_name(const std::string& id) {
  return !id.empty() &&
         id.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-") ==
             std::string::npos;
}

// Lines of a part or material file that describe the file itself.
bool is_file_heading(const std::string& key) {
  return key == "format" || key == "part" || key == "name" || key == "description" || key == "invented" ||
         key == "remark";
}

bool stands_beside(const std::string& id) {
  return id.size() > 5 && id.compare(id.size() - 5, 5, ".toml") == 0 &&
         is_plain_name(id.substr(0, id.size() - 5));
}

bool open(const LibraryRequest& request, const std::string& folder, const std::string& kind, FileText& file,
          Node& root, ProblemList& problems) {
  const std::string path =
      library_path(request.models_directory, folder, request.id, request.asking_file->path);
  if (stands_beside(request.id)) return read_document(path, kind + " file", file, root, problems);
  const std::vector<std::string> files = known_ids(request.models_directory, folder);
  if (!is_plain_name(request.id) || std::find(files.begin(), files.end(), request.id) == files.end()) {
    const std::vector<std::string> known =
        folder == "parts" ? known_parts(request.models_directory, request.name) : files;
    const std::string near = nearest_word(request.id, known);
    problems.add(*request.asking_file, request.asking_line,
                 fmt::format("there is no {} file \"{}\" for \"{}\"", kind, request.id, request.name),
                 known.empty()
                     ? fmt::format("a file {}", library_path(request.models_directory, folder, "<name>"))
                     : fmt::format("one of {}", fmt::join(known, ", ")),
                 near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    return false;
  }
  return read_document(path, kind + " file", file, root, problems);
}

void check_headings(const Node& root, const FileText& file, ProblemList& problems) {
  for (const auto& [key, node] : root.members) {
    if (!is_file_heading(key)) continue;
    if (key == "format") {
      check_format(file, node, "file", problems);
      continue;
    }
    const bool good = key == "invented" ? node.kind == Node::Kind::kTruth : node.kind == Node::Kind::kText;
    if (!good)
      problems.add(file, node.line, fmt::format("\"{}\" is not what it should be", key),
                   key == "invented" ? "invented = true or false" : fmt::format("{} = \"a text\"", key));
  }
}

}  // namespace

void check_format(const FileText& file, const Node& node, const std::string& what, ProblemList& problems) {
  const bool known = node.kind == Node::Kind::kNumber && node.whole && node.number >= 1;
  if (known && node.number <= kCaseFormat) return;
  problems.add(file, node.line,
               known ? fmt::format("this {} has format {:.0f}, from a newer leverwright", what, node.number)
                     : fmt::format("the format of a {} is a whole number", what),
               fmt::format("format = {}, or no such line", kCaseFormat),
               known ? "read it with the version that wrote it, or a newer one" : "");
}

std::string library_path(const std::string& models_directory, const std::string& folder,
                         const std::string& id, const std::string& asking_path) {
  if (!asking_path.empty() && stands_beside(id))
    return (std::filesystem::path(asking_path).parent_path() / id).string();
  return fmt::format("{}/{}/{}.toml", models_directory, folder, id);
}

std::vector<std::string> known_ids(const std::string& models_directory, const std::string& folder) {
  std::vector<std::string> ids;
  std::error_code code;
  for (const auto& entry : std::filesystem::directory_iterator(models_directory + "/" + folder, code))
    if (entry.path().extension() == ".toml") ids.push_back(entry.path().stem().string());
  std::sort(ids.begin(), ids.end());
  return ids;
}

std::vector<std::string> missing_below(const std::string& section, const Values& values) {
  std::vector<std::string> missing;
  const auto look = [&](const auto& table) {
    for (const auto& [path, spec] : table)
      if (spec.presence == Presence::kRequired && path.compare(0, section.size() + 1, section + ".") == 0 &&
          values.tried.count(path) == 0)
        missing.push_back(path);
  };
  look(schema().keys);
  look(schema().choices);
  look(schema().point_lists);
  return missing;
}

std::vector<std::string> known_parts(const std::string& models_directory, const std::string& slot) {
  std::vector<std::string> ids;
  for (const std::string& id : known_ids(models_directory, "parts")) {
    std::ifstream in(library_path(models_directory, "parts", id));
    for (std::string line; std::getline(in, line);)
      if (line.compare(0, 4, "part") == 0 && line.find('"' + slot + '"') != std::string::npos) {
        ids.push_back(id);
        break;
      }
  }
  return ids;
}

namespace {

bool take_part(const LibraryRequest& request, const FileText& file, const Node& root, Values& values,
               ProblemList& problems) {
  check_headings(root, file, problems);
  const Node* part = root.find("part");
  if (part == nullptr || part->text != request.name) {
    problems.add(*request.asking_file, request.asking_line,
                 fmt::format("\"{}\" is not a part for \"{}\"", request.id, request.name),
                 fmt::format("a file that begins with part = \"{}\"", request.name),
                 part == nullptr ? fmt::format("{} does not say what part it is", file.path)
                                 : fmt::format("{} says part = \"{}\"", file.path, part->text));
    return false;
  }
  Node keys = root;
  keys.members.erase(std::remove_if(keys.members.begin(), keys.members.end(),
                                    [](const auto& member) { return is_file_heading(member.first); }),
                     keys.members.end());
  read_section(request.name, keys, {&file, true, request.name + "."}, values, problems);
  return true;
}

}  // namespace

bool read_part(const LibraryRequest& request, Values& values, ProblemList& problems) {
  FileText file;
  Node root;
  return open(request, "parts", "part", file, root, problems) &&
         take_part(request, file, root, values, problems);
}

Values read_whole_part(const std::string& models_directory, const std::string& slot, const std::string& id) {
  const FileText asking;
  const LibraryRequest request{models_directory, slot, id, &asking, 0};
  Values values;
  ProblemList problems;
  FileText file;
  Node root;
  const bool path = id.size() > 5 && id.compare(id.size() - 5, 5, ".toml") == 0;
  const bool there = path ? read_document(id, "part file", file, root, problems) &&
                                take_part(request, file, root, values, problems)
                          : read_part(request, values, problems);
  if (!path) file.path = library_path(models_directory, "parts", id);
  if (there)
    for (const std::string& key : missing_below(slot, values))
      problems.add(file, 0, fmt::format("this file lacks \"{}\"", key.substr(key.rfind('.') + 1)),
                   "every required key, since it replaces a whole part", "add it there");
  if (!problems.empty()) throw base::UserError(problems.sorted());
  return values;
}

bool read_material(const LibraryRequest& request, Values& values, ProblemList& problems) {
  FileText file;
  Node root;
  if (!open(request, "materials", "material", file, root, problems)) return false;
  check_headings(root, file, problems);
  const std::string section = "contact." + request.name;
  Node keys = root;
  const auto belongs_elsewhere = [&](const std::string& key) {
    if (is_known_path(section + "." + key)) return false;
    for (const PlaceSpec& place : schema().places)
      if (is_known_path("contact." + place.name + "." + key)) return true;
    return false;
  };
  keys.members.erase(std::remove_if(keys.members.begin(), keys.members.end(),
                                    [&](const auto& member) {
                                      return is_file_heading(member.first) || belongs_elsewhere(member.first);
                                    }),
                     keys.members.end());
  read_section(section, keys, {&file, true, section + "."}, values, problems);
  return true;
}

}  // namespace leverwright::case_file

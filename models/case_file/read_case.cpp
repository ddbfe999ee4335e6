#include "models/case_file/read_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "models/case_file/check_case.h"
#include "models/case_file/invented.h"
#include "models/case_file/library.h"
#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/read_set_ups.h"
#include "models/case_file/read_values.h"
#include "models/case_file/schema.h"
#include "sim/base/program_files.h"

namespace leverwright::case_file {

namespace {

struct Reading {
  FileText file;
  Node root;
  std::string models_directory;
  const RemedyList& remedies;
  ProblemList problems;
  Values values;                          // of the case file itself
  std::map<std::string, Values> library;  // by "<slot>" or "contact.<place>"
  std::set<std::string> silent;           // sections whose missing keys are not worth a message of their own
  CaseDescription out;
};

int line_of_section(const Reading& r, const std::string& name) {
  const Node* node = r.root.find(name);
  return node == nullptr ? 0 : node->line;
}

// [parts] and [materials]: names on the left, file names on the right.
template <class Row, class Read>
void read_library_section(Reading& r, const std::string& section, const std::vector<Row>& rows,
                          const std::string& prefix, Read read) {
  std::vector<std::string> names;
  for (const Row& row : rows) names.push_back(row.name);
  const Node* table = r.root.find(section);
  const Node nothing;
  if (table != nullptr && table->kind != Node::Kind::kTable) {
    r.problems.add(r.file, table->line, fmt::format("\"{}\" must be a section", section),
                   fmt::format("[{}]", section));
    for (const Row& row : rows) r.silent.insert(prefix + row.name);
    return;
  }
  if (table == nullptr) table = &nothing;
  for (const auto& [key, node] : table->members) {
    if (std::find(names.begin(), names.end(), key) == names.end()) {
      const std::string near = nearest_word(key, names);
      r.problems.add(r.file, node.line, fmt::format("[{}] has no line \"{}\"", section, key),
                     fmt::format("{}", fmt::join(names, ", ")),
                     near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    }
  }
  for (const Row& row : rows) {
    const Node* node = table->find(row.name);
    const std::string below = prefix + row.name;
    if (node == nullptr) {
      if (row.presence != Presence::kRequired) continue;
      r.problems.add(
          r.file, line_of_section(r, section), fmt::format("[{}] lacks \"{}\"", section, row.name),
          fmt::format("{} = \"name of a file in {}/{}\" ({})", row.name, r.models_directory, section,
                      row.description),
          fmt::format("known: {}", fmt::join(section == "parts" ? known_parts(r.models_directory, row.name)
                                                                : known_ids(r.models_directory, section),
                                             ", ")));
      r.silent.insert(below);
    } else if (node->kind != Node::Kind::kText) {
      r.problems.add(r.file, node->line,
                     fmt::format("\"{}.{}\" must be a file's name in quotes", section, row.name),
                     row.description);
      r.silent.insert(below);
    } else {
      r.out.choices[section + "." + row.name] = node->text;
      if (!read(LibraryRequest{r.models_directory, row.name, node->text, &r.file, node->line},
                r.library[below], r.problems))
        r.silent.insert(below);
    }
  }
}

void read_leads(Reading& r, const Node& list) {
  if (list.kind != Node::Kind::kArray) {
    r.problems.add(r.file, list.line, "a lead is a list entry", "[[lead]]", "use double brackets");
    return;
  }
  const std::vector<ArgumentSpec> arguments = lead_arguments();
  for (const Node& node : list.items) {
    if (node.kind != Node::Kind::kTable) {
      r.problems.add(r.file, node.line, "a lead must be a section of its own", "[[lead]]");
      continue;
    }
    Lead lead;
    lead.place = origin_of(r.file, node.line);
    for (const auto& [key, member] : node.members)
      if (key != "mass" && key != "distance")
        r.problems.add(r.file, member.line, fmt::format("a lead has no \"{}\"", key), "mass and distance");
    for (const ArgumentSpec& argument : arguments) {
      const Node* given = node.find(argument.name);
      if (given == nullptr) {
        r.problems.add(r.file, node.line, fmt::format("this lead lacks \"{}\"", argument.name),
                       argument.description);
        continue;
      }
      const std::string text =
          given->kind == Node::Kind::kNumber ? fmt::format("{}", given->number) : given->text;
      const QuantityResult result =
          read_quantity(text, argument.dimension, argument.default_sigma, argument.range);
      if (const auto* fault = std::get_if<QuantityFault>(&result)) {
        r.problems.add(r.file, given->line, fmt::format("\"{}\" of a lead: {}", argument.name, fault->what),
                       fault->expected, fault->advice);
        continue;
      }
      const Quantity& q = std::get<Quantity>(result);
      (argument.name == "mass" ? lead.mass : lead.distance) = q.value;
      (argument.name == "mass" ? lead.sigma_mass : lead.sigma_distance) = q.sigma;
    }
    r.out.leads.push_back(lead);
  }
}

void read_root(Reading& r) {
  const SourceRules origin{&r.file, false, ""};
  std::vector<std::string> sections = {"parts", "materials", "lead",     "set_up",
                                       "seek",  "keyboard",  "invented", "format"};
  bool all_known = false;
  for (const auto& [key, node] : r.root.members) {
    // seek: models/search/read_seek.h; keyboard: models/keyboard/keyboard_case.h
    if (key == "parts" || key == "materials" || key == "seek" || key == "keyboard") continue;
    if (key == "format") {
      check_format(r.file, node, "case", r.problems);
    } else if (key == "lead") {
      read_leads(r, node);
    } else if (key == "set_up") {
      r.out.set_ups = read_set_ups(node, r.file, r.models_directory, r.remedies, r.problems);
    } else if (key == "invented") {
      if (node.kind != Node::Kind::kTruth)
        r.problems.add(r.file, node.line, "\"invented\" is true or false", "invented = true");
      r.out.invented = node.truth;
    } else if (is_known_path(key)) {
      read_value(key, node, origin, r.values, r.problems);
    } else if (schema().has_section(key) && node.kind == Node::Kind::kTable) {
      read_section(key, node, origin, r.values, r.problems);
    } else if (schema().has_section(key)) {
      r.silent.insert(key);
      r.problems.add(r.file, node.line, fmt::format("\"{}\" is a section", key),
                     fmt::format("[{}] on a line of its own", key), "write its keys below it, one to a line");
    } else {
      if (!r.problems.full() && !all_known)
        for (const std::string& path : schema().all_paths())
          sections.push_back(path.substr(0, path.find('.')));
      all_known = true;
      const std::string near = r.problems.full() ? "" : nearest_word(key, sections);
      const bool table = node.kind == Node::Kind::kTable || node.kind == Node::Kind::kArray;
      r.problems.add(r.file, node.line, fmt::format("unknown {} \"{}\"", table ? "section" : "key", key), "",
                     near.empty() ? "see models/handbook/case_format.md for every section and key"
                                  : fmt::format("did you mean \"{}\"?", near));
    }
  }
}

// Library first, the case's own values over it. The case may name any merged key.
void merge(Reading& r) {
  const auto put = [&](const Values& values) {
    for (const auto& [path, q] : values.quantities) r.out.quantities[path] = q;
    for (const auto& [path, word] : values.choices) r.out.choices[path] = word;
    for (const auto& [path, place] : values.places) r.out.choice_origins[path] = place;
    for (const auto& [path, list] : values.point_lists) r.out.point_lists[path] = list;
  };
  for (const auto& [below, values] : r.library) put(values);
  put(r.values);
}

bool below_any(const std::string& path, const std::set<std::string>& sections) {
  for (const std::string& section : sections)
    if (path.compare(0, section.size() + 1, section + ".") == 0) return true;
  return false;
}

// Was the path written somewhere, even if it could not be read? Then its own problem is reported already.
bool tried(const Reading& r, const std::string& path) {
  if (r.values.tried.count(path) != 0) return true;
  for (const auto& [below, values] : r.library)
    if (values.tried.count(path) != 0) return true;
  return false;
}

void add_missing(Reading& r, const std::string& path, const std::string& expected,
                 const std::string& description) {
  if (tried(r, path) || below_any(path, r.silent)) return;
  for (const auto& [below, values] : r.library) {
    (void)values;
    if (path.compare(0, below.size() + 1, below + ".") != 0) continue;
    const bool part = schema().has_slot(below);
    const std::string name = part ? below : below.substr(std::string("contact.").size());
    const std::string folder = part ? "parts" : "materials";
    FileText library_file;
    library_file.path =
        library_path(r.models_directory, folder, r.out.choices[folder + "." + name], r.file.path);
    r.problems.add(
        library_file, 0,
        fmt::format("this file lacks \"{}\": {}", path.substr(below.size() + 1), description), expected,
        fmt::format("add it there, or give [{}] {} in the case", below, path.substr(below.size() + 1)));
    return;
  }
  const std::size_t dot = path.find('.');
  const std::string section = dot == std::string::npos ? "" : path.substr(0, path.rfind('.'));
  const int line = section.empty() ? 0 : line_of_section(r, section.substr(0, section.find('.')));
  r.problems.add(r.file, line, fmt::format("missing key \"{}\": {}", path, description), expected,
                 section.empty() ? "write it at the top of the file"
                                 : fmt::format("write it in the section [{}]", section));
}

std::string expected_text(const KeySpec& spec) {
  const std::string unit = trade_unit(spec.dimension);
  if (unit.empty())
    return fmt::format("{} = ...  (a plain number)", spec.path.substr(spec.path.rfind('.') + 1));
  return fmt::format("{} = \"...{}{}\"", spec.path.substr(spec.path.rfind('.') + 1), unit.empty() ? "" : " ",
                     unit);
}

void fill_defaults_and_find_missing(Reading& r) {
  const Schema& s = schema();
  for (const auto& [path, spec] : s.keys) {
    if (r.out.quantities.count(path) != 0) continue;
    if (spec.presence == Presence::kRequired) add_missing(r, path, expected_text(spec), spec.description);
    if (spec.presence != Presence::kDefault || tried(r, path)) continue;
    Quantity q =
        std::get<Quantity>(read_quantity(spec.default_text, spec.dimension, spec.default_sigma, spec.range));
    q.source = spec.source;
    q.from_default = true;
    r.out.quantities[path] = q;
  }
  for (const auto& [path, spec] : s.choices) {
    if (r.out.choices.count(path) != 0) continue;
    if (spec.presence == Presence::kRequired)
      add_missing(
          r, path,
          spec.words.empty() ? "a text in quotes" : fmt::format("one of: {}", fmt::join(spec.words, ", ")),
          spec.description);
    if (spec.presence == Presence::kDefault) r.out.choices[path] = spec.default_word;
  }
  for (const auto& [path, spec] : s.point_lists)
    if (spec.presence == Presence::kRequired && r.out.point_lists.count(path) == 0)
      add_missing(r, path, "a list of points { points = [[x, y], ...], unit = \"mm\", source = \"...\" }",
                  spec.description);
  for (const RequiredWhen& row : s.required_when) {
    const auto choice = r.out.choices.find(row.choice);
    if (choice == r.out.choices.end() || choice->second != row.word) continue;
    for (const std::string& key : row.keys)
      if (r.out.quantities.count(key) == 0)
        add_missing(r, key, expected_text(*s.find_key(key)),
                    fmt::format("the policy \"{}\" holds it", row.word));
  }
}

std::set<std::string> unreadable(const Reading& r) {
  std::set<std::string> out;
  const auto take = [&](const Values& values) {
    for (const std::string& path : values.tried)
      if (!r.out.has(path)) out.insert(path);
  };
  take(r.values);
  for (const auto& [below, values] : r.library) take(values);
  return out;
}

void fill_head(Reading& r) {
  const auto text = [&](const char* key) {
    const auto found = r.out.choices.find(key);
    return found == r.out.choices.end() ? std::string() : found->second;
  };
  r.out.title = text("title");
  r.out.question = text("question");
  r.out.story = text("story");
  r.out.instrument = text("instrument");
  r.out.text = r.file.text;
  r.out.path = r.file.path;
  if (r.out.set_ups.empty() && r.root.find("set_up") == nullptr)
    r.problems.add(r.file, 0, "the case has no set-up",
                   "[[set_up]] with a name; the first one is the base the others are compared with",
                   "add at least:  [[set_up]]  and  name = \"as found\"");
}

}  // namespace

std::string default_models_directory() {
  const char* set = std::getenv("LEVERWRIGHT_MODELS");
  if (set != nullptr && *set != '\0') return set;
  const std::string installed = base::find_installed("models");
  return installed.empty() ? LEVERWRIGHT_MODELS_DIR : installed;
}

namespace {

CaseDescription read_whole(Reading& r) {
  read_root(r);
  read_library_section(r, "parts", schema().slots, "", read_part);
  read_library_section(r, "materials", schema().places, "contact.", read_material);
  merge(r);
  fill_defaults_and_find_missing(r);
  fill_head(r);
  check_case(r.out, r.file, unreadable(r), r.problems);
  if (!r.problems.empty()) throw base::UserError(r.problems.sorted());
  widen_invented(r.out);
  if (const std::string words = invented_words(r.out); !words.empty()) r.out.notes.push_back(words);
  return std::move(r.out);
}

std::string or_default(const std::string& models_directory) {
  return models_directory.empty() ? default_models_directory() : models_directory;
}

}  // namespace

CaseDescription read_case(const std::string& path, const RemedyList& remedies,
                          const std::string& models_directory) {
  Reading r{{}, {}, or_default(models_directory), remedies, {}, {}, {}, {}, {}};
  if (!read_document(path, "case file", r.file, r.root, r.problems))
    throw base::UserError(r.problems.sorted());
  return read_whole(r);
}

CaseDescription read_case_text(const std::string& text, const std::string& path, const RemedyList& remedies,
                               const std::string& models_directory) {
  Reading r{{}, {}, or_default(models_directory), remedies, {}, {}, {}, {}, {}};
  r.file.path = path;
  r.file.text = text;
  if (!parse_document("case file", r.file, r.root, r.problems)) throw base::UserError(r.problems.sorted());
  return read_whole(r);
}

}  // namespace leverwright::case_file

#include "models/case_file/read_values.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/case_file/units.h"

namespace leverwright::case_file {

namespace {

std::string shown(const std::string& path, const SourceRules& origin) {
  const std::string& start = origin.shown_below;
  return path.compare(0, start.size(), start) == 0 ? path.substr(start.size()) : path;
}

std::string section_of(const std::string& path) {
  const std::size_t dot = path.rfind('.');
  return dot == std::string::npos ? "" : path.substr(0, dot);
}

std::string leaf_of(const std::string& path) { return path.substr(path.rfind('.') + 1); }

std::string join_path(const std::string& section, const std::string& key) {
  return section.empty() ? key : section + "." + key;
}

std::string range_words(const KeySpec& spec) {
  return spec.range.empty() ? spec.description : fmt::format("{}; {}", spec.description, spec.range);
}

// { value = ..., source = ... } or the bare value. Returns the value's node, or null after adding a problem.
const Node* unwrap(const std::string& path, const Node& node, const SourceRules& origin, std::string& source,
                   ProblemList& problems) {
  const FileText& file = *origin.file;
  if (node.kind != Node::Kind::kTable) {
    if (origin.source_required) {
      problems.add(file, node.line, fmt::format("\"{}\" has no source", shown(path, origin)),
                   fmt::format("{} = {{ value = \"...\", source = \"...\" }}", leaf_of(path)),
                   "name the source: a citation, \"invented\", or \"estimate\" with a range");
      return nullptr;
    }
    return &node;
  }
  bool good = true;
  for (const auto& [key, member] : node.members) {
    if (key == "value" || key == "remark") continue;
    if (key == "source" && member.kind == Node::Kind::kText && !member.text.empty()) continue;
    good = false;
    if (key == "source")
      problems.add(file, member.line,
                   fmt::format("the source of \"{}\" is empty or not a text", shown(path, origin)),
                   "source = \"a citation, invented, or estimate\"");
    else
      problems.add(file, member.line,
                   fmt::format("\"{}\" cannot stand inside the entry \"{}\"", key, shown(path, origin)),
                   "{ value = \"...\", source = \"...\" }");
  }
  const Node* value = node.find("value");
  if (value == nullptr) {
    problems.add(file, node.line, fmt::format("the entry \"{}\" has no value", shown(path, origin)),
                 "{ value = \"...\", source = \"...\" }");
    return nullptr;
  }
  if (const Node* given = node.find("source")) {
    source = given->text;
  } else if (origin.source_required) {
    problems.add(file, node.line, fmt::format("\"{}\" has no source", shown(path, origin)),
                 "{ value = \"...\", source = \"...\" }",
                 "name the source: a citation, \"invented\", or \"estimate\" with a range");
    good = false;
  }
  return good ? value : nullptr;
}

void read_key(const KeySpec& spec, const Node& node, const SourceRules& origin, Values& values,
              ProblemList& problems) {
  const FileText& file = *origin.file;
  const std::string name = shown(spec.path, origin);
  std::string source;
  const Node* value = unwrap(spec.path, node, origin, source, problems);
  if (value == nullptr) return;
  const bool plain = spec.dimension == Dimension::kNumber || spec.dimension == Dimension::kCount;
  std::string text;
  if (value->kind == Node::Kind::kText) {
    text = value->text;
  } else if (value->kind == Node::Kind::kNumber && plain) {
    text = fmt::format("{}", value->number);
  } else if (value->kind == Node::Kind::kNumber) {
    problems.add(
        file, value->line, fmt::format("\"{}\" has no unit", name),
        fmt::format("{} in {}, in quotes: \"{} {}\"", dimension_words(spec.dimension),
                    fmt::join(units_of(spec.dimension), ", "), value->number, trade_unit(spec.dimension)),
        range_words(spec));
    return;
  } else {
    problems.add(file, value->line,
                 fmt::format("\"{}\" must be {} written in quotes", name, dimension_words(spec.dimension)),
                 range_words(spec));
    return;
  }
  const QuantityResult result = read_quantity(text, spec.dimension, spec.default_sigma, spec.range);
  if (const auto* fault = std::get_if<QuantityFault>(&result)) {
    std::string expected = fault->expected;
    if (expected == spec.range)
      expected = range_words(spec);
    else
      expected += expected.empty() ? spec.description : "; " + spec.description;
    problems.add(file, value->line, fmt::format("\"{}\": {}", name, fault->what), expected, fault->advice);
    return;
  }
  Quantity quantity = std::get<Quantity>(result);
  if (source.compare(0, 8, "estimate") == 0 && quantity.knowledge != Knowledge::kEstimate) {
    problems.add(file, value->line, fmt::format("\"{}\" is an estimate without a range", name),
                 "\"0.22 (0.15 to 0.3)\" or \"0.15 to 0.3\"", "say between which values it surely lies");
    return;
  }
  if (source.empty()) source = quantity.knowledge == Knowledge::kEstimate ? "estimate" : "bench";
  quantity.source = source;
  quantity.place = origin_of(file, node.line);
  values.quantities[spec.path] = quantity;
}

void read_choice(const ChoiceSpec& spec, const Node& node, const SourceRules& origin, Values& values,
                 ProblemList& problems) {
  const FileText& file = *origin.file;
  std::string source;
  SourceRules no_source_needed = origin;
  no_source_needed.source_required = false;
  const Node* value = unwrap(spec.path, node, no_source_needed, source, problems);
  if (value == nullptr) return;
  const std::string name = shown(spec.path, origin);
  const std::string words = fmt::format("{}", fmt::join(spec.words, ", "));
  std::string word = value->text;
  if (value->kind == Node::Kind::kTruth) word = value->truth ? "yes" : "no";
  if ((value->kind != Node::Kind::kText && value->kind != Node::Kind::kTruth) || word.empty() ||
      (spec.words.empty() && value->kind != Node::Kind::kText)) {
    problems.add(file, value->line, fmt::format("\"{}\" must be a text in quotes", name),
                 spec.words.empty() ? spec.description : words);
    return;
  }
  if (!spec.words.empty() && std::find(spec.words.begin(), spec.words.end(), word) == spec.words.end()) {
    const std::string near = nearest_word(word, spec.words);
    problems.add(file, value->line, fmt::format("\"{}\" cannot be \"{}\"", name, word), words,
                 near.empty() ? "choose one of these words" : fmt::format("did you mean \"{}\"?", near));
    return;
  }
  values.choices[spec.path] = word;
  values.places[spec.path] = origin_of(file, node.line);
}

const char* kPointListForm =
    "{ points = [[x, y], [x, y], ...], unit = \"mm\", uncertainty = \"0.2 mm\", source = \"...\" }";

bool read_points(const PointListSpec& spec, const std::string& name, const Node& points, double unit,
                 const FileText& file, PointList& list, ProblemList& problems) {
  const double y_unit = spec.y_dimension == Dimension::kNumber ? 1 : unit;
  for (const Node& item : points.items) {
    if (item.kind != Node::Kind::kArray || item.items.size() != 2 ||
        item.items[0].kind != Node::Kind::kNumber || item.items[1].kind != Node::Kind::kNumber) {
      problems.add(file, item.line, fmt::format("a point of \"{}\" is not a pair of numbers", name),
                   "[x, y]");
      return false;
    }
    const double x = item.items[0].number * unit, y = item.items[1].number * y_unit;
    if (!std::isfinite(x) || !std::isfinite(y) || std::abs(x) > 10) {
      problems.add(file, item.line, fmt::format("a point of \"{}\" is not a finite place on an action", name),
                   "[x, y]");
      return false;
    }
    if (!list.x.empty() && list.x.back() == x && list.y.back() == y) {
      problems.add(file, item.line, fmt::format("a point of \"{}\" stands in the list twice in a row", name),
                   "", "remove one of the two");
      return false;
    }
    if (!list.x.empty() && spec.y_dimension == Dimension::kNumber && x <= list.x.back()) {
      problems.add(file, item.line, fmt::format("the distances of \"{}\" do not rise", name),
                   "each further than the last");
      return false;
    }
    list.x.push_back(x);
    list.y.push_back(y);
  }
  if (static_cast<int>(list.x.size()) >= spec.least_points) return true;
  problems.add(file, points.line, fmt::format("\"{}\" has {} points", name, list.x.size()),
               fmt::format("{} or more: {}", spec.least_points, spec.description));
  return false;
}

void read_point_list(const PointListSpec& spec, const Node& node, const SourceRules& origin, Values& values,
                     ProblemList& problems) {
  const FileText& file = *origin.file;
  const std::string name = shown(spec.path, origin);
  const Node* points = node.find("points");
  if (node.kind != Node::Kind::kTable || points == nullptr || points->kind != Node::Kind::kArray) {
    problems.add(file, node.line, fmt::format("\"{}\" must be a list of points", name), kPointListForm,
                 spec.description);
    return;
  }
  bool good = true;
  for (const auto& [key, member] : node.members)
    if (key != "points" && key != "unit" && key != "uncertainty" && key != "source" && key != "remark") {
      problems.add(file, member.line,
                   fmt::format("\"{}\" cannot stand inside the point list \"{}\"", key, name),
                   kPointListForm);
      good = false;
    }
  const Node* unit_node = node.find("unit");
  const Unit* unit = unit_node == nullptr ? nullptr : find_unit(normalise_unit(unit_node->text));
  if (unit == nullptr || unit->dimension != Dimension::kLength) {
    problems.add(file, unit_node == nullptr ? node.line : unit_node->line,
                 fmt::format("the points of \"{}\" have no unit of length", name), "unit = \"mm\"",
                 "write mm, cm or m");
    good = false;
  }
  PointList list;
  const Node* sigma = node.find("uncertainty");
  const std::string sigma_text = sigma == nullptr ? spec.default_sigma : sigma->text;
  const QuantityResult uncertainty = read_quantity(sigma_text, Dimension::kLength, "", "0 to 10 mm");
  if (const auto* fault = std::get_if<QuantityFault>(&uncertainty)) {
    problems.add(file, sigma == nullptr ? node.line : sigma->line,
                 fmt::format("uncertainty of \"{}\": {}", name, fault->what), "uncertainty = \"0.2 mm\"",
                 fault->advice);
    good = false;
  } else {
    list.sigma = std::get<Quantity>(uncertainty).value;
  }
  const Node* source = node.find("source");
  if (source != nullptr) list.source = source->text;
  if (list.source.empty() && origin.source_required) {
    problems.add(file, node.line, fmt::format("\"{}\" has no source", name), kPointListForm,
                 "name the source: a citation, \"invented\", or \"estimate\" with a range");
    good = false;
  }
  if (list.source.empty()) list.source = "bench";
  if (!good || !read_points(spec, name, *points, unit->si, file, list, problems)) return;
  list.place = origin_of(file, node.line);
  values.point_lists[spec.path] = list;
}

}  // namespace

Origin origin_of(const FileText& file, int line) { return {file.path, line, file.line(line)}; }

bool is_known_path(const std::string& path) {
  const Schema& s = schema();
  return s.find_key(path) != nullptr || s.find_choice(path) != nullptr || s.find_point_list(path) != nullptr;
}

void read_value(const std::string& path, const Node& node, const SourceRules& origin, Values& values,
                ProblemList& problems) {
  const Schema& s = schema();
  values.tried.insert(path);
  if (const KeySpec* key = s.find_key(path))
    read_key(*key, node, origin, values, problems);
  else if (const ChoiceSpec* choice = s.find_choice(path))
    read_choice(*choice, node, origin, values, problems);
  else if (const PointListSpec* list = s.find_point_list(path))
    read_point_list(*list, node, origin, values, problems);
}

std::string add_unknown_key(const std::string& path, int line, const SourceRules& origin,
                            ProblemList& problems) {
  if (problems.full()) {
    problems.add(*origin.file, line, "", "");
    return "";
  }
  const std::string section = section_of(path), leaf = leaf_of(path);
  std::vector<std::string> beside, elsewhere;
  for (const std::string& known : schema().all_paths()) {
    if (section_of(known) == section) beside.push_back(leaf_of(known));
    if (leaf_of(known) == leaf) elsewhere.push_back(known);
  }
  std::string advice = "see models/handbook/case_format.md for every key", meant;
  const std::string near = nearest_word(leaf, beside);
  if (!near.empty()) {
    meant = join_path(section, near);
    advice = fmt::format("did you mean \"{}\"?", near);
  } else if (!elsewhere.empty() && elsewhere.size() < 4) {
    advice = fmt::format("\"{}\" belongs in the section [{}]", leaf, section_of(elsewhere.front()));
  } else {
    const std::string anywhere = nearest_word(path, schema().all_paths());
    if (!anywhere.empty()) advice = fmt::format("did you mean \"{}\"?", shown(anywhere, origin));
  }
  problems.add(*origin.file, line, fmt::format("unknown key \"{}\"", shown(path, origin)), "", advice);
  return meant;
}

void read_section(const std::string& path, const Node& table, const SourceRules& origin, Values& values,
                  ProblemList& problems) {
  for (const auto& [key, node] : table.members) {
    const std::string below = join_path(path, key);
    if (is_known_path(below)) {
      read_value(below, node, origin, values, problems);
    } else if (node.kind == Node::Kind::kTable && schema().has_section(below)) {
      read_section(below, node, origin, values, problems);
    } else if (schema().has_section(below)) {
      problems.add(*origin.file, node.line, fmt::format("\"{}\" is a section", shown(below, origin)),
                   fmt::format("[{}] on a line of its own", below), "write its keys below it, one to a line");
    } else {
      // The key that seems to be meant is not reported as missing as well.
      const std::string meant = add_unknown_key(below, node.line, origin, problems);
      if (!meant.empty()) values.tried.insert(meant);
    }
  }
}

}  // namespace leverwright::case_file

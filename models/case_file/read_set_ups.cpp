#include "models/case_file/read_set_ups.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/read_values.h"
#include "models/case_file/schema.h"

namespace leverwright::case_file {

namespace {

std::vector<std::string> words_for(const ArgumentSpec& argument) {
  std::vector<std::string> words = argument.words;
  if (argument.words_from == WordsFrom::kContactPlace)
    for (const PlaceSpec& place : schema().places) words.push_back(place.name);
  if (argument.words_from == WordsFrom::kSlot)
    for (const SlotSpec& slot : schema().slots) words.push_back(slot.name);
  return words;
}

std::string usage(const RemedyRow& spec) {
  std::string out;
  for (const ArgumentSpec& a : spec.arguments) {
    if (!out.empty()) out += ", ";
    out += a.presence == Presence::kRequired ? a.name : fmt::format("[{}]", a.name);
  }
  return fmt::format("{}: {}", spec.kind, out);
}

void read_quantity_argument(const ChangeReader& r, const ArgumentSpec& spec, const Node& node,
                            Change& change) {
  const bool plain = spec.dimension == Dimension::kNumber || spec.dimension == Dimension::kCount;
  if (node.kind == Node::Kind::kNumber && !plain) {
    r.problems.add(r.file, node.line, fmt::format("\"{}\" of \"{}\" has no unit", spec.name, change.kind()),
                   fmt::format("\"{} {}\"", node.number, trade_unit(spec.dimension)), spec.description);
    return;
  }
  if (node.kind != Node::Kind::kText && node.kind != Node::Kind::kNumber) {
    r.problems.add(r.file, node.line,
                   fmt::format("\"{}\" of \"{}\" must be {} in quotes", spec.name, change.kind(),
                               dimension_words(spec.dimension)),
                   spec.description);
    return;
  }
  const std::string text = node.kind == Node::Kind::kText ? node.text : fmt::format("{}", node.number);
  const QuantityResult result = read_quantity(text, spec.dimension, spec.default_sigma, spec.range);
  if (const auto* fault = std::get_if<QuantityFault>(&result)) {
    r.problems.add(r.file, node.line,
                   fmt::format("\"{}\" of \"{}\": {}", spec.name, change.kind(), fault->what),
                   fault->expected, fault->advice);
    return;
  }
  Quantity quantity = std::get<Quantity>(result);
  quantity.source = "set-up";
  quantity.place = origin_of(r.file, node.line);
  change.quantities[spec.name] = quantity;
}

void read_word_argument(const ChangeReader& r, const ArgumentSpec& spec, const Node& node, Change& change) {
  if (node.kind != Node::Kind::kText || node.text.empty()) {
    r.problems.add(r.file, node.line,
                   fmt::format("\"{}\" of \"{}\" must be a text in quotes", spec.name, change.kind()),
                   spec.description);
    return;
  }
  const std::vector<std::string> words = words_for(spec);
  if (!words.empty() && std::find(words.begin(), words.end(), node.text) == words.end()) {
    const std::string near = nearest_word(node.text, words);
    r.problems.add(r.file, node.line,
                   fmt::format("\"{}\" of \"{}\" cannot be \"{}\"", spec.name, change.kind(), node.text),
                   fmt::format("{}", fmt::join(words, ", ")),
                   near.empty() ? "choose one of these words" : fmt::format("did you mean \"{}\"?", near));
    return;
  }
  change.choices[spec.name] = node.text;
}

// Which alternative is meant ('a', 'b', ...): the one whose arguments are there. ' ' when there are none.
char used_group(const ChangeReader& r, const RemedyRow& spec, const Node& node) {
  std::map<char, std::vector<std::string>> groups;
  std::string used;
  for (const ArgumentSpec& a : spec.arguments) {
    if (a.group == ' ') continue;
    groups[a.group].push_back(a.name);
    if (node.find(a.name) != nullptr && used.find(a.group) == std::string::npos) used += a.group;
  }
  if (groups.empty()) return ' ';
  if (used.size() == 1) return used[0];
  std::vector<std::string> alternatives;
  for (const auto& [group, names] : groups)
    alternatives.push_back(fmt::format("{}", fmt::join(names, " and ")));
  r.problems.add(r.file, node.line,
                 used.empty() ? fmt::format("\"{}\" does not say what it acts on", spec.kind)
                              : fmt::format("\"{}\" acts on several things at once", spec.kind),
                 fmt::format("either {}", fmt::join(alternatives, ", or ")), "write one change for each");
  return '?';
}

void read_arguments(const ChangeReader& r, const RemedyRow& spec, const Node& node, Change& change) {
  const char group = used_group(r, spec, node);
  if (group == '?') return;
  int given = 0;
  std::vector<std::string> missing;
  for (const ArgumentSpec& a : spec.arguments) {
    if (a.group != ' ' && a.group != group) continue;
    const Node* argument = node.find(a.name);
    if (argument != nullptr) {
      ++given;
      if (a.words_from == WordsFrom::kQuantity)
        read_quantity_argument(r, a, *argument, change);
      else if (a.words_from != WordsFrom::kValueText)
        read_word_argument(r, a, *argument, change);
    } else if (a.presence == Presence::kRequired) {
      missing.push_back(fmt::format("\"{}\" ({})", a.name, a.description));
    } else if (a.presence == Presence::kDefault && a.words_from == WordsFrom::kQuantity) {
      Quantity quantity = std::get<Quantity>(read_quantity(a.default_text, a.dimension, a.default_sigma));
      quantity.from_default = true;
      change.quantities[a.name] = quantity;
    } else if (a.presence == Presence::kDefault) {
      change.choices[a.name] = a.default_text;
    }
  }
  for (const std::string& argument : missing)
    r.problems.add(r.file, node.line, fmt::format("\"{}\" lacks {}", spec.kind, argument), usage(spec));
  if (given == 0 && missing.empty())
    r.problems.add(r.file, node.line, fmt::format("\"{}\" changes nothing", spec.kind), usage(spec),
                   "give at least one of these");
}

void reject_unknown_arguments(const ChangeReader& r, const RemedyRow& spec, const Node& node) {
  std::vector<std::string> names;
  for (const ArgumentSpec& a : spec.arguments) names.push_back(a.name);
  for (const auto& [key, member] : node.members) {
    if (key == "kind" || key == "remark" || std::find(names.begin(), names.end(), key) != names.end())
      continue;
    const std::string near = r.problems.full() ? "" : nearest_word(key, names);
    r.problems.add(r.file, member.line, fmt::format("\"{}\" has no argument \"{}\"", spec.kind, key),
                   usage(spec), near.empty() ? "remove the line" : fmt::format("did you mean \"{}\"?", near));
  }
}

// False after adding problems: then the change is not to be used.
bool read_change(const ChangeReader& r, const RemedyList& remedies, const Node& node, Change& change) {
  change.place = origin_of(r.file, node.line);
  const Node* kind = node.find("kind");
  std::vector<std::string> kinds;
  for (const Remedy* remedy : remedies) kinds.push_back(remedy->row.kind);
  if (kind == nullptr || kind->kind != Node::Kind::kText) {
    r.problems.add(r.file, kind == nullptr ? node.line : kind->line, "this change does not say its kind",
                   fmt::format("kind = one of: {}", fmt::join(kinds, ", ")));
    return false;
  }
  change.remedy = find_remedy(remedies, kind->text);
  if (change.remedy == nullptr) {
    const std::string near = nearest_word(kind->text, kinds);
    r.problems.add(r.file, kind->line, fmt::format("unknown kind of change \"{}\"", kind->text),
                   fmt::format("{}", fmt::join(kinds, ", ")),
                   near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    return false;
  }
  const std::size_t before = r.problems.size();
  reject_unknown_arguments(r, change.remedy->row, node);
  read_arguments(r, change.remedy->row, node, change);
  change.remedy->read_rest(r, node, change);
  return r.problems.size() == before;
}

SetUp read_set_up(const ChangeReader& r, const RemedyList& remedies, const Node& node) {
  SetUp out;
  out.place = origin_of(r.file, node.line);
  for (const auto& [key, member] : node.members) {
    if (key == "name" || key == "description") {
      if (member.kind != Node::Kind::kText || member.text.empty())
        r.problems.add(r.file, member.line, fmt::format("\"{}\" of a set-up must be a text in quotes", key));
      else
        (key == "name" ? out.name : out.description) = member.text;
    } else if (key == "change") {
      if (member.kind != Node::Kind::kArray) {
        r.problems.add(r.file, member.line, "a change of a set-up is a list entry", "[[set_up.change]]",
                       "use double brackets");
        continue;
      }
      for (const Node& item : member.items) {
        Change change;
        if (item.kind != Node::Kind::kTable)
          r.problems.add(r.file, item.line, "a change must be a section of its own", "[[set_up.change]]");
        else if (read_change(r, remedies, item, change))
          out.changes.push_back(std::move(change));
      }
    } else {
      const std::string near = nearest_word(key, {"name", "description", "change"});
      r.problems.add(r.file, member.line, fmt::format("unknown key \"{}\" in a set-up", key),
                     "name, description and [[set_up.change]] sections",
                     near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    }
  }
  find_contradictions(out, r.file, r.problems);
  if (node.find("name") == nullptr)
    r.problems.add(r.file, node.line, "this set-up has no name", "name = \"heel build-up\"");
  return out;
}

}  // namespace

std::vector<SetUp> read_set_ups(const Node& list, const FileText& file, const std::string& models_directory,
                                const RemedyList& remedies, ProblemList& problems) {
  const ChangeReader reader{file, models_directory, problems};
  std::vector<SetUp> set_ups;
  if (list.kind != Node::Kind::kArray) {
    problems.add(file, list.line, "a set-up is a list entry", "[[set_up]] before its [[set_up.change]]",
                 "use double brackets");
    return set_ups;
  }
  std::map<std::string, int> first_line;
  for (const Node& node : list.items) {
    if (node.kind != Node::Kind::kTable) {
      problems.add(file, node.line, "a set-up must be a section of its own", "[[set_up]]");
      continue;
    }
    SetUp set_up = read_set_up(reader, remedies, node);
    if (!set_up.name.empty()) {
      const auto [at, is_new] = first_line.emplace(set_up.name, node.line);
      const Node* name = node.find("name");
      if (!is_new)
        problems.add(file, name->line, fmt::format("two set-ups are called \"{}\"", set_up.name),
                     "a name of its own for each",
                     fmt::format("the first one begins on line {}", at->second));
    }
    set_ups.push_back(std::move(set_up));
  }
  return set_ups;
}

}  // namespace leverwright::case_file

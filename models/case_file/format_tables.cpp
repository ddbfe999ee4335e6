#include "models/case_file/format_tables.h"

#include <fmt/format.h>

#include <set>
#include <vector>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"

namespace leverwright::case_file {

namespace {

constexpr const char* kBegin = "<!-- tables of the schema: begin -->\n";
constexpr const char* kEnd = "<!-- tables of the schema: end -->\n";

std::string presence_words(Presence presence, const std::string& default_text) {
  if (presence == Presence::kRequired) return "**required**";
  return presence == Presence::kOptional ? "optional" : fmt::format("`{}`", default_text);
}

std::string sigma_words(const std::string& sigma) { return sigma.empty() ? "exact" : sigma; }

std::string units_words(Dimension dimension) {
  const std::vector<std::string> units = units_of(dimension);
  if (units.empty()) return dimension_words(dimension);
  return dimension == Dimension::kTorque ? "gf at mm, or N m" : units.front();
}

std::string section_of(const std::string& path) {
  const std::size_t dot = path.rfind('.');
  return dot == std::string::npos ? "" : path.substr(0, dot);
}

std::string leaf_of(const std::string& path) { return path.substr(path.rfind('.') + 1); }

void write_key_table(std::string& out, const std::vector<KeySpec>& keys) {
  out += "| key | in | if left out | usual +- | plausible | what | source |\n|---|---|---|---|---|---|---|\n";
  for (const KeySpec& k : keys)
    out += fmt::format("| `{}` | {} | {} | {} | {} | {} | {} |\n", leaf_of(k.path), units_words(k.dimension),
                       presence_words(k.presence, k.default_text), sigma_words(k.default_sigma), k.range,
                       k.description, k.source);
  out += "\n";
}

// Keys of one section, or of several that look alike, in the order of the table they come from.
void write_sections(std::string& out, const std::vector<KeySpec>& keys) {
  std::vector<std::string> order;
  for (const KeySpec& k : keys) {
    const std::string section = section_of(k.path);
    bool known = false;
    for (const std::string& name : order) known = known || name == section;
    if (!known) order.push_back(section);
  }
  for (const std::string& section : order) {
    std::vector<KeySpec> rows;
    for (const KeySpec& k : keys)
      if (section_of(k.path) == section) rows.push_back(k);
    out += fmt::format("### [{}]\n\n", section);
    write_key_table(out, rows);
  }
}

void write_choices(std::string& out, const std::vector<ChoiceSpec>& choices) {
  out += "| key | words | if left out | what |\n|---|---|---|---|\n";
  for (const ChoiceSpec& c : choices)
    out += fmt::format("| `{}` | {} | {} | {} |\n", c.path,
                       c.words.empty() ? "any text" : fmt::format("\"{}\"", fmt::join(c.words, "\", \"")),
                       presence_words(c.presence, c.default_word), c.description);
  out += "\n";
}

void write_point_lists(std::string& out, const std::vector<PointListSpec>& lists) {
  out += "| key | points | if left out | usual +- | what |\n|---|---|---|---|---|\n";
  for (const PointListSpec& p : lists)
    out += fmt::format("| `{}` | {} or more | {} | {} | {} |\n", p.path, p.least_points,
                       presence_words(p.presence, ""), sigma_words(p.default_sigma), p.description);
  out += "\n";
}

std::string argument_words(const ArgumentSpec& a) {
  switch (a.words_from) {
    case WordsFrom::kQuantity:
      return fmt::format("{}; {}", units_words(a.dimension), a.range);
    case WordsFrom::kList:
      return fmt::format("\"{}\"", fmt::join(a.words, "\", \""));
    case WordsFrom::kContactPlace:
      return "a contact place";
    case WordsFrom::kSlot:
      return "a part slot";
    case WordsFrom::kPartId:
      return "a part file's name";
    case WordsFrom::kMaterialId:
      return "a material file's name";
    case WordsFrom::kKeyPath:
      return "any key's full path";
    case WordsFrom::kValueText:
      return "written as that key wants it";
  }
  return "";
}

void write_changes(std::string& out, const RemedyList& remedies) {
  for (const Remedy* remedy : remedies) {
    const RemedyRow& change = remedy->row;
    std::set<char> groups;
    for (const ArgumentSpec& a : change.arguments)
      if (a.group != ' ') groups.insert(a.group);
    out += fmt::format("### kind = \"{}\"\n\n{}.{}\n\n- alters: {}\n", change.kind, change.description,
                       groups.empty() ? "" : " Give the arguments of one of its alternatives, no more.",
                       change.alters);
    if (!change.side_effects.empty())
      out += fmt::format("- side effects, carried out as well: {}\n", fmt::join(change.side_effects, "; "));
    out += fmt::format("- reversible: {} (class {} of `judgement.md`)\n- labour: {}\n- usual worry: {}\n",
                       change.reversible, change.undone, labour_words(change.labour), change.worry);
    if (!change.hazards.empty()) out += fmt::format("- cautions: {}\n", fmt::join(change.hazards, ", "));
    out += "\n";
    out +=
        fmt::format("| argument | {}how written | if left out | usual +- | what |\n|---|{}---|---|---|---|\n",
                    groups.empty() ? "" : "alternative | ", groups.empty() ? "" : "---|");
    for (const ArgumentSpec& a : change.arguments)
      out += fmt::format(
          "| `{}` | {}{} | {} | {} | {} |\n", a.name, groups.empty() ? "" : fmt::format("{} | ", a.group),
          argument_words(a), presence_words(a.presence, a.default_text),
          a.words_from == WordsFrom::kQuantity ? sigma_words(a.default_sigma) : "-", a.description);
    out += "\n";
  }
}

void write_names(std::string& out, const std::string& heading, const std::string& what,
                 const std::vector<std::pair<std::string, std::string>>& rows) {
  out += fmt::format("### {}\n\n{}\n\n| name | what |\n|---|---|\n", heading, what);
  for (const auto& [name, description] : rows) out += fmt::format("| `{}` | {} |\n", name, description);
  out += "\n";
}

}  // namespace

std::string write_format_tables(const RemedyList& remedies) {
  std::string out = "\n## The bench's sections\n\n";
  write_sections(out, measured_keys());
  out += "## Regulation, screws and touches\n\n";
  write_sections(out, regulation_keys());
  out +=
      "The policy decides which two of dip, blow and aftertouch must be given:\n\n| policy | held "
      "|\n|---|---|\n";
  for (const RequiredWhen& row : regulation_required_when())
    out += fmt::format("| {} | {} |\n", row.word, fmt::join(row.keys, ", "));
  out += "\n## What is wanted\n\n";
  write_sections(out, target_keys());
  out +=
      "## Options of the model\n\nEach is one line under `[options]`; the numbers of its parts follow.\n\n";
  write_choices(out, option_choices());
  write_choices(out, key_option_choices());
  write_sections(out, option_keys());
  write_sections(out, key_option_keys());
  out += "## Words and texts\n\n";
  write_choices(out, measured_choices());
  write_choices(out, regulation_choices());
  out += "## Parts\n\n";
  std::vector<std::pair<std::string, std::string>> names;
  for (const SlotSpec& slot : part_slots()) names.emplace_back(slot.name, slot.description);
  write_names(out, "[parts]", "Each line names a file in `models/parts/`.", names);
  write_sections(out, part_keys());
  write_choices(out, part_choices());
  write_point_lists(out, part_point_lists());
  out += "## Materials\n\n";
  names.clear();
  for (const PlaceSpec& place : contact_places()) names.emplace_back(place.name, place.description);
  write_names(out, "[materials]", "Each line names a file in `models/materials/`.", names);
  out += "A material file gives, for every place that names it (`*` stands for the place):\n\n";
  write_sections(out, contact_keys());
  write_point_lists(out, contact_point_lists());
  out +=
      "## Changes of a set-up\n\nThe changes of one set-up are carried out in the order in which the "
      "kinds stand here, however the case lists them. Two that decide the same thing are an error that "
      "names both. Hours, worries and reversibility are common practice, no source.\n\n";
  write_changes(out, remedies);
  return out;
}

std::string renew_tables(const std::string& document, const RemedyList& remedies) {
  const std::size_t begin = document.find(kBegin), end = document.find(kEnd);
  if (begin == std::string::npos || end == std::string::npos || end < begin) return document;
  return document.substr(0, begin) + kBegin + write_format_tables(remedies) + document.substr(end);
}

}  // namespace leverwright::case_file

#include "models/search/read_seek.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/case_file/document.h"
#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"

namespace leverwright::search {

namespace {

using case_file::ArgumentSpec;
using case_file::CaseDescription;
using case_file::Dimension;
using case_file::FileText;
using case_file::Node;
using case_file::ProblemList;
using case_file::RemedyRow;

struct SeekReader {
  const CaseDescription& d;
  const FileText& file;
  ProblemList& problems;

  void unknown(const Node& node, const std::vector<std::string>& known, const std::string& where) const {
    for (const auto& [key, member] : node.members) {
      if (std::find(known.begin(), known.end(), key) != known.end()) continue;
      const std::string near = case_file::nearest_word(key, known);
      problems.add(file, member.line, fmt::format("{} has no \"{}\"", where, key),
                   fmt::format("{}", fmt::join(known, ", ")),
                   near.empty() ? "see models/handbook/seek.md" : fmt::format("did you mean \"{}\"?", near));
    }
  }
  std::string text(const Node& node, const char* key, bool required, const std::string& expected) const {
    const Node* found = node.find(key);
    if (found != nullptr && found->kind == Node::Kind::kText && !found->text.empty()) return found->text;
    if (found != nullptr)
      problems.add(file, found->line, fmt::format("\"{}\" must be a text in quotes", key), expected);
    else if (required)
      problems.add(file, node.line, fmt::format("this section lacks \"{}\"", key), expected);
    return "";
  }
  int line_of(const Node& node, const char* key) const {
    const Node* found = node.find(key);
    return found == nullptr ? node.line : found->line;
  }
};

std::string all_numbers() {
  std::string all;
  for (const auto& info : kTrialNumbers) all += (all.empty() ? "" : ", ") + std::string(info.key);
  return all;
}

std::size_t number_named(const SeekReader& r, const std::string& name, int line) {
  const std::size_t number = find_trial_number(name);
  if (number < kTrialNumberCount || name.empty()) return number;
  std::vector<std::string> keys;
  for (const auto& info : kTrialNumbers) keys.emplace_back(info.key);
  const std::string near = case_file::nearest_word(name, keys);
  r.problems.add(r.file, line, fmt::format("there is no number \"{}\" to seek", name),
                 "one of " + all_numbers(), near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
  return number;
}

Dimension dimension_of(std::size_t number) {
  const std::string unit = kTrialNumbers[number].unit;
  return unit == "N"    ? Dimension::kWeight
         : unit == "m"  ? Dimension::kLength
         : unit == "kg" ? Dimension::kMass
                        : Dimension::kNumber;
}

// A value of a dimension; NaN after a problem.
double value_of(const SeekReader& r, const Node& node, Dimension dimension) {
  const bool bare = node.kind == Node::Kind::kNumber && dimension == Dimension::kNumber;
  if (node.kind == Node::Kind::kText || bare) {
    const auto result =
        case_file::read_quantity(bare ? fmt::format("{}", node.number) : node.text, dimension);
    if (const auto* q = std::get_if<case_file::Quantity>(&result)) return q->value;
    const auto& fault = std::get<case_file::QuantityFault>(result);
    r.problems.add(r.file, node.line, fault.what, fault.expected, fault.advice);
  } else {
    r.problems.add(r.file, node.line, "a value with its unit is wanted here",
                   case_file::dimension_words(dimension) + " in quotes");
  }
  return std::numeric_limits<double>::quiet_NaN();
}

double value_in(const SeekReader& r, const Node& node, const char* key, Dimension dimension,
                double otherwise) {
  const Node* found = node.find(key);
  return found == nullptr ? otherwise : value_of(r, *found, dimension);
}

// Which change of the set-up: by its place in the list (1, 2, ...) or by its kind, if only one has it.
bool find_change(const SeekReader& r, const Node& node, const case_file::SetUp& set_up, std::size_t& index) {
  const Node* given = node.find("change");
  std::vector<std::string> kinds;
  for (const auto& c : set_up.changes) kinds.push_back(c.kind());
  const std::string expected = fmt::format("a change of the set-up \"{}\", by kind or number: {}",
                                           set_up.name, fmt::join(kinds, ", "));
  if (given != nullptr && given->kind == Node::Kind::kNumber) {
    if (given->number >= 1 && given->number <= static_cast<double>(kinds.size()) && given->whole) {
      index = static_cast<std::size_t>(given->number) - 1;
      return true;
    }
    r.problems.add(r.file, given->line, "the set-up has no change of this number", expected);
    return false;
  }
  const std::string kind = given != nullptr ? given->text : "";
  const auto count = std::count(kinds.begin(), kinds.end(), kind);
  if (count == 1) {
    index = static_cast<std::size_t>(std::find(kinds.begin(), kinds.end(), kind) - kinds.begin());
    return true;
  }
  r.problems.add(r.file, given != nullptr ? given->line : node.line,
                 given == nullptr ? "it is not said which change is varied"
                 : count > 1      ? fmt::format("the set-up has {} changes of this kind", count)
                                  : fmt::format("the set-up has no change \"{}\"", kind),
                 expected, count > 1 ? "give its number in the list instead" : "");
  return false;
}

// Bounds have to be amounts that a case could give; where the change has a direction, the other way as well.
bool bounds_make_sense(const SeekReader& r, const Node& node, const RemedyRow& spec, const ArgumentSpec& a,
                       const Vary& v) {
  if (std::isnan(v.from) || std::isnan(v.to)) return false;
  const case_file::Range range = case_file::read_range(a.range, a.dimension);
  const bool two_ways = std::any_of(spec.arguments.begin(), spec.arguments.end(),
                                    [](const ArgumentSpec& x) { return x.name == "direction"; });
  const double low =
      two_ways ? -range.high : std::min(range.low, 0.0 < range.low && range.low < 1e-3 ? 0.0 : range.low);
  for (const double x : {v.from, v.to})
    if (x < low - 1e-12 || x > range.high + 1e-12) {
      r.problems.add(
          r.file, node.line,
          fmt::format("{:g} {} is no sensible \"{}\" of \"{}\"", x / v.unit_si, v.unit, a.name, spec.kind),
          fmt::format("{:g} to {:g} {}", low / v.unit_si, range.high / v.unit_si, v.unit));
      return false;
    }
  if (v.from < v.to) return true;
  r.problems.add(r.file, node.line, "\"from\" is not below \"to\"", "from = \"0 mm\", to = \"2 mm\"");
  return false;
}

void read_vary(const SeekReader& r, const Node& node, Seek& s) {
  r.unknown(node, {"change", "argument", "from", "to"}, "[[seek.vary]]");
  const case_file::SetUp& set_up = r.d.set_ups[s.set_up];
  Vary v;
  if (!find_change(r, node, set_up, v.change)) return;
  const RemedyRow& spec = set_up.changes[v.change].remedy->row;
  const std::string& kind = spec.kind;
  v.argument = r.text(node, "argument", true, "an amount of \"" + kind + "\"");
  if (v.argument.empty()) return;
  std::vector<std::string> amounts;
  const ArgumentSpec* argument = nullptr;
  for (const ArgumentSpec& a : spec.arguments) {
    if (a.words_from != case_file::WordsFrom::kQuantity) continue;
    amounts.push_back(a.name);
    if (a.name == v.argument && set_up.changes[v.change].quantities.count(a.name) != 0) argument = &a;
  }
  if (argument == nullptr) {
    const bool exists = std::count(amounts.begin(), amounts.end(), v.argument) != 0;
    r.problems.add(r.file, r.line_of(node, "argument"),
                   exists ? fmt::format("the change gives no \"{}\" that could be varied", v.argument)
                          : fmt::format("\"{}\" has no amount \"{}\"", kind, v.argument),
                   fmt::format("one of {}", fmt::join(amounts, ", ")),
                   exists ? "write it in the change first" : "");
    return;
  }
  v.unit = case_file::trade_unit(argument->dimension);
  v.unit_si = case_file::trade_unit_in_si(argument->dimension);
  v.remedy = set_up.changes[v.change].remedy;
  v.name = kind + ": " + v.argument;
  std::replace(v.name.begin(), v.name.end(), '_', ' ');
  for (const char* end : {"from", "to"}) {
    const Node* given = node.find(end);
    if (given == nullptr) {
      r.problems.add(r.file, node.line, fmt::format("this amount has no bound \"{}\"", end),
                     fmt::format("{} = \"... {}\"", end, v.unit));
      return;
    }
    (std::string(end) == "from" ? v.from : v.to) = value_of(r, *given, argument->dimension);
  }
  if (bounds_make_sense(r, node, spec, *argument, v)) s.vary.push_back(v);
}

void read_limit(const SeekReader& r, const Node& node, Seek& s) {
  r.unknown(node, {"number", "at_least", "at_most"}, "[[seek.limit]]");
  Limit limit{0, -std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
  limit.number =
      number_named(r, r.text(node, "number", true, "one of " + all_numbers()), r.line_of(node, "number"));
  if (limit.number >= kTrialNumberCount) return;
  limit.low = value_in(r, node, "at_least", dimension_of(limit.number), limit.low);
  limit.high = value_in(r, node, "at_most", dimension_of(limit.number), limit.high);
  if (!std::isfinite(limit.low) && !std::isfinite(limit.high) && !std::isnan(limit.low + limit.high))
    r.problems.add(r.file, node.line, "this limit limits nothing", "at_least or at_most, or both");
  else if (limit.low > limit.high)
    r.problems.add(r.file, node.line, "no number is at least and at most this", "at_least below at_most");
  else
    s.limits.push_back(limit);
}

void read_each(const SeekReader& r, const Node& node, const char* key, Seek& s,
               void (*read)(const SeekReader&, const Node&, Seek&)) {
  const Node* list = node.find(key);
  if (list == nullptr) return;
  if (list->kind != Node::Kind::kArray) {
    r.problems.add(r.file, list->line, fmt::format("\"{}\" is a list entry", key),
                   fmt::format("[[seek.{}]]", key), "use double brackets");
    return;
  }
  for (const Node& item : list->items) read(r, item, s);
}

void read_aim(const SeekReader& r, const Node& node, Seek& s) {
  const std::string aim = r.text(node, "aim", true, "least, most or reach");
  if (aim == "least" || aim == "most") {
    s.aim = aim == "least" ? Aim::kLeast : Aim::kMost;
  } else if (aim == "reach") {
    s.aim = Aim::kReach;
    if (node.find("target") == nullptr)
      r.problems.add(r.file, node.line, "\"reach\" needs a target", "target = \"37 gf\"");
  } else if (!aim.empty()) {
    r.problems.add(r.file, r.line_of(node, "aim"), fmt::format("\"aim\" cannot be \"{}\"", aim),
                   "least, most or reach");
  }
  const study::MeasureInfo& info = kTrialNumbers[s.number];
  const double two_last = 2 * std::pow(10.0, -info.decimals) / info.display_factor;
  s.target = value_in(r, node, "target", dimension_of(s.number), 0);
  s.within = value_in(r, node, "within", dimension_of(s.number), two_last);
}

void read_seek(const SeekReader& r, const Node& node, std::vector<Seek>& out) {
  r.unknown(node,
            {"name", "question", "set_up", "number", "aim", "target", "within", "vary", "limit", "maps"},
            "[[seek]]");
  Seek s;
  s.place = {r.file.path, node.line, r.file.line(node.line)};
  s.name = r.text(node, "name", true, "a name to call it by");
  s.question = r.text(node, "question", false, "a sentence");
  for (const Seek& other : out)
    if (other.name == s.name && !s.name.empty())
      r.problems.add(r.file, r.line_of(node, "name"), fmt::format("two searches are called \"{}\"", s.name),
                     "a name of its own for each", fmt::format("the first is on line {}", other.place.line));
  const std::string set_up = r.text(node, "set_up", true, "the set-up whose changes are varied");
  std::vector<std::string> names;
  for (const auto& one : r.d.set_ups) names.push_back(one.name);
  const auto found = std::find(names.begin(), names.end(), set_up);
  s.number =
      number_named(r, r.text(node, "number", true, "one of " + all_numbers()), r.line_of(node, "number"));
  if (found == names.end()) {
    if (!set_up.empty()) {
      const std::string near = case_file::nearest_word(set_up, names);
      r.problems.add(r.file, r.line_of(node, "set_up"), fmt::format("there is no set-up \"{}\"", set_up),
                     fmt::format("one of {}", fmt::join(names, ", ")),
                     near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
    }
    return;
  }
  if (s.number >= kTrialNumberCount) return;
  s.set_up = static_cast<std::size_t>(found - names.begin());
  s.undone = case_file::undone_class(r.d.set_ups[s.set_up]);
  read_aim(r, node, s);
  const std::size_t before = r.problems.size();
  read_each(r, node, "vary", s, read_vary);
  read_each(r, node, "limit", s, read_limit);
  if (r.problems.size() == before && (s.vary.empty() || s.vary.size() > 2))
    r.problems.add(r.file, node.line, fmt::format("{} amounts are varied", s.vary.size()),
                   "one or two [[seek.vary]]", "keep the one or two that matter most");
  if (const Node* maps = node.find("maps")) {
    if (maps->kind != Node::Kind::kArray)
      r.problems.add(r.file, maps->line, "\"maps\" is a list",
                     "maps = [\"capstan_friction\", \"down_weight\"]");
    for (const Node& item : maps->items) {
      const std::size_t number = number_named(r, item.text, item.line);
      if (number < kTrialNumberCount) s.maps.push_back(number);
    }
  }
  if (s.maps.empty()) s.maps = {s.number};
  out.push_back(std::move(s));
}

}  // namespace

std::vector<Seek> read_seeks(const CaseDescription& d) {
  FileText file;
  Node root;
  ProblemList problems;
  std::vector<Seek> out;
  if (case_file::read_document(d.path, "case file", file, root, problems)) {
    const SeekReader r{d, file, problems};
    const Node* list = root.find("seek");
    if (list != nullptr && list->kind != Node::Kind::kArray)
      problems.add(file, list->line, "a search is a list entry", "[[seek]]", "use double brackets");
    else if (list != nullptr)
      for (const Node& node : list->items) read_seek(r, node, out);
  }
  if (!problems.empty()) throw base::UserError(problems.sorted());
  return out;
}

}  // namespace leverwright::search

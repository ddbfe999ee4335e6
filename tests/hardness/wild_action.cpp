#include "tests/hardness/wild_action.h"

#include <algorithm>
#include <cmath>

#include "models/case_file/check_case.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/remedies/all.h"
#include "tests/support/random_action.h"

namespace leverwright::hardness {

using case_file::CaseDescription;
using case_file::KeySpec;

namespace {

double uniform(std::mt19937_64& engine, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(engine);
}
int whole(std::mt19937_64& engine, int low, int high) {
  return std::uniform_int_distribution<int>(low, high)(engine);
}
template <class T>
const T& one_of(const std::vector<T>& list, std::mt19937_64& engine) {
  return list[static_cast<std::size_t>(whole(engine, 0, static_cast<int>(list.size()) - 1))];
}

// Values the case has, of which the reader knows a range, and which are no option, touch or target.
std::vector<const KeySpec*> known_keys(const CaseDescription& d) {
  std::vector<const KeySpec*> keys;
  for (const auto& [key, quantity] : d.quantities) {
    const KeySpec* spec = case_file::schema().find_key(key);
    if (spec == nullptr || spec->range.empty()) continue;
    for (const char* section : {"measured.", "regulation.", "friction.", "key.", "capstan.", "wippen.",
                                "hammer.", "frame.", "contact.", "screws."})
      if (key.rfind(section, 0) == 0) {
        keys.push_back(spec);
        break;
      }
  }
  return keys;
}

void move_value(WildAction& a, const KeySpec& spec, double beyond, std::mt19937_64& engine) {
  const case_file::Range range = case_file::read_range(spec.range, spec.dimension);
  double value = uniform(engine, range.low, range.high);
  if (beyond > 0)
    value = whole(engine, 0, 1) == 0 ? range.low - beyond * (range.high - range.low)
                                     : range.high + beyond * (range.high - range.low);
  case_file::Quantity& q = a.description.quantities.at(spec.path);
  q.value = value;
  q.knowledge = case_file::Knowledge::kExact;
  q.sigma = 0;
  a.moved.push_back(spec.path);
}

void move_some(WildAction& a, int count, std::mt19937_64& engine) {
  const auto keys = known_keys(a.description);
  for (int k = 0; k < count; ++k) move_value(a, *one_of(keys, engine), 0, engine);
  const auto& words = case_file::schema().find_choice("regulation.policy")->words;
  a.description.choices["regulation.policy"] = one_of(words, engine);
}

}  // namespace

const char* name_of(Kind kind) {
  static const char* const kNames[] = {"usual", "stretched", "wild", "outside"};
  return kNames[static_cast<int>(kind)];
}

WildAction draw_wild(const CaseDescription& model, std::mt19937_64& engine) {
  WildAction out;
  out.kind = static_cast<Kind>(whole(engine, 0, static_cast<int>(Kind::kKindCount) - 1));
  const bool from_usual = out.kind == Kind::kUsual || out.kind == Kind::kStretched ||
                          (out.kind == Kind::kOutside && whole(engine, 0, 1) == 0);
  out.description = model;
  out.description.set_ups.resize(1);
  if (from_usual) {
    auto drawn = support::draw_action(model, engine);
    while (!drawn) drawn = support::draw_action(model, engine);
    out.description = std::move(*drawn);
  }
  if (out.kind != Kind::kUsual) move_some(out, whole(engine, 1, from_usual ? 4 : 12), engine);
  if (out.kind == Kind::kOutside)
    move_value(out, *one_of(known_keys(out.description), engine), uniform(engine, 1e-3, 0.2), engine);
  return out;
}

void add_wild_set_ups(CaseDescription& d, int count, std::mt19937_64& engine) {
  using case_file::WordsFrom;
  std::vector<const case_file::Remedy*> kinds;
  for (const case_file::Remedy* remedy : remedies::all())
    if (std::all_of(remedy->row.arguments.begin(), remedy->row.arguments.end(), [](const auto& a) {
          return a.words_from == WordsFrom::kQuantity || a.words_from == WordsFrom::kList ||
                 a.words_from == WordsFrom::kContactPlace;
        }))
      kinds.push_back(remedy);
  for (int k = 0; k < count; ++k) {
    case_file::SetUp set_up;
    set_up.name = "change " + std::to_string(k + 1);
    const int changes = whole(engine, 1, 2);
    for (int c = 0; c < changes; ++c) {
      const case_file::Remedy& remedy = *one_of(kinds, engine);
      const auto& spec = remedy.row;
      case_file::Change change;
      change.remedy = &remedy;
      std::string groups;
      for (const auto& a : spec.arguments)
        if (a.group != ' ' && groups.find(a.group) == std::string::npos) groups += a.group;
      const char group =
          groups.empty()
              ? ' '
              : groups[static_cast<std::size_t>(whole(engine, 0, static_cast<int>(groups.size()) - 1))];
      for (const auto& a : spec.arguments) {
        if (a.group != ' ' && a.group != group) continue;
        if (a.presence == case_file::Presence::kOptional && whole(engine, 0, 1) == 0) continue;
        if (a.words_from == WordsFrom::kList) {
          change.choices[a.name] = one_of(a.words, engine);
        } else if (a.words_from == WordsFrom::kContactPlace) {
          std::vector<std::string> places;
          for (const auto& place : case_file::schema().places)
            if (d.has("contact." + place.name + ".friction")) places.push_back(place.name);
          change.choices[a.name] = one_of(places, engine);
        } else {
          const case_file::Range range = case_file::read_range(a.range, a.dimension);
          case_file::Quantity q;
          q.dimension = a.dimension;
          q.value = uniform(engine, range.low, range.high);
          change.quantities[a.name] = q;
        }
      }
      set_up.changes.push_back(std::move(change));
    }
    d.set_ups.push_back(std::move(set_up));
  }
}

std::string refusal_of_reader(WildAction& a) {
  for (const auto& key : a.moved) {
    const KeySpec& spec = *case_file::schema().find_key(key);
    const auto read = case_file::read_quantity(case_file::write_quantity(a.description.quantity(key)),
                                               spec.dimension, spec.default_sigma, spec.range);
    if (const auto* fault = std::get_if<case_file::QuantityFault>(&read)) return fault->what;
  }
  case_file::ProblemList problems;
  case_file::FileText file;
  file.path = a.description.path;
  case_file::check_case(a.description, file, {}, problems);
  return problems.empty() ? "" : problems.sorted().front().what;
}

}  // namespace leverwright::hardness

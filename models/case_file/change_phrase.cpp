#include "models/case_file/change_phrase.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <set>

#include "models/case_file/document.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/case_file/units.h"
#include "sim/base/error.h"

namespace leverwright::case_file {

namespace {

struct Item {
  std::string word;  // lower case; of a value: as it is to be written in the case
  bool value = false;
  Dimension dimension = Dimension::kNumber;
};

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> out;
  std::string word;
  const auto end = [&] {
    if (word == "towards") word = "toward";
    if (!word.empty()) out.push_back(word);
    word.clear();
  };
  for (const char c : text) {
    if (std::isspace(static_cast<unsigned char>(c)) || c == ',' || c == ';' || c == ':' || c == '(' ||
        c == ')')
      end();
    else
      word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  end();
  return out;
}

bool begins_number(const std::string& word) {
  const std::size_t at = word[0] == '-' || word[0] == '+' ? 1 : 0;
  return at < word.size() && (std::isdigit(static_cast<unsigned char>(word[at])) || word[at] == '.');
}

// "3mm" is "3 mm".
void split_number(std::vector<std::string>* words) {
  for (std::size_t k = 0; k < words->size(); ++k) {
    const std::string word = (*words)[k];
    if (!begins_number(word)) continue;
    const std::size_t end = word.find_first_not_of("0123456789.", word[0] == '-' || word[0] == '+' ? 1 : 0);
    if (end == std::string::npos) continue;
    (*words)[k] = word.substr(0, end);
    words->insert(words->begin() + static_cast<std::ptrdiff_t>(k) + 1, word.substr(end));
  }
}

std::vector<Item> items_of(const std::string& phrase) {
  std::vector<std::string> words = words_of(phrase);
  split_number(&words);
  std::vector<Item> out;
  for (std::size_t k = 0; k < words.size(); ++k) {
    if (!begins_number(words[k])) {
      out.push_back({words[k]});
      continue;
    }
    Item value{words[k], true, Dimension::kNumber};
    // The longest run of words that is a unit; "gf at 23 mm" is a torque.
    for (std::size_t count = std::min<std::size_t>(4, words.size() - k - 1); count > 0; --count) {
      const std::string unit =
          fmt::format("{}", fmt::join(words.begin() + static_cast<std::ptrdiff_t>(k) + 1,
                                      words.begin() + static_cast<std::ptrdiff_t>(k + 1 + count), " "));
      const Unit* known = find_unit(normalise_unit(unit));
      const bool torque = count == 4 && std::holds_alternative<Quantity>(
                                            read_quantity(words[k] + " " + unit, Dimension::kTorque));
      if (known == nullptr && !torque) continue;
      value.word += " " + unit;
      value.dimension = torque ? Dimension::kTorque : known->dimension;
      k += count;
      break;
    }
    // "3 mm +- 0.2 mm" is one value.
    if (k + 2 < words.size() && words[k + 1] == "+-" && begins_number(words[k + 2])) {
      value.word += " +- " + words[k + 2];
      k += 2;
      if (k + 1 < words.size() && find_unit(normalise_unit(words[k + 1])) != nullptr)
        value.word += " " + words[++k];
    }
    out.push_back(value);
  }
  return out;
}

bool is_small(const std::string& word) {
  static const std::set<std::string> small = {"at",   "by",   "the", "of",  "to",  "a",   "an",
                                              "from", "in",   "on",  "is",  "its", "and", "with",
                                              "into", "more", "new", "put", "for"};
  return small.count(word) > 0;
}

// One beginning of the other, of four letters at least: lean, leaned; move, moved.
bool alike(const std::string& a, const std::string& b) {
  const std::size_t n = std::min(a.size(), b.size());
  return a == b || (n >= 4 && a.compare(0, n, b, 0, n) == 0);
}

struct Fitted {
  const RemedyRow* spec = nullptr;
  int said = 0;         // words of the kind that the phrase holds
  bool whole = false;   // all of them
  bool chosen = false;  // a word of a choice as well
  std::map<std::string, std::string> values;
  std::vector<std::string> missing, strange;
  // "heel 3 mm" could be anything done to the heel: the kind has to be told by more than its first word.
  bool fits() const { return missing.empty() && strange.empty() && (whole || chosen || said > 1); }
};

// Where these words stand in a row among words that are not used yet; npos: nowhere.
std::size_t find_run(const std::vector<Item>& items, const std::vector<bool>& used,
                     const std::vector<std::string>& run) {
  for (std::size_t at = 0; at + run.size() <= items.size(); ++at) {
    bool same = !run.empty();
    for (std::size_t k = 0; k < run.size() && same; ++k)
      same = !items[at + k].value && !used[at + k] && items[at + k].word == run[k];
    if (same) return at;
  }
  return std::string::npos;
}

std::string with_spaces(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

std::string write_argument(const ArgumentSpec& a) {
  if (a.words_from == WordsFrom::kList)
    return fmt::format("{} (one of: {})", with_spaces(a.name), fmt::join(a.words, "; "));
  return fmt::format("{} ({})", with_spaces(a.name), a.description);
}

std::vector<std::string> words_to_choose(const ArgumentSpec& a) {
  std::vector<std::string> out = a.words;
  if (a.words_from == WordsFrom::kSlot)
    for (const auto& s : schema().slots) out.push_back(s.name);
  if (a.words_from == WordsFrom::kContactPlace)
    for (const auto& p : schema().places) out.push_back(p.name);
  // The longest first: "the player's half" before "the player".
  std::stable_sort(out.begin(), out.end(),
                   [](const std::string& x, const std::string& y) { return x.size() > y.size(); });
  return out;
}

Fitted fit(const RemedyRow& spec, const std::vector<Item>& items) {
  Fitted out;
  out.spec = &spec;
  std::vector<bool> used(items.size(), false);
  const std::vector<std::string> kind = words_of(spec.kind);
  bool first = false;
  for (std::size_t w = 0; w < kind.size(); ++w)
    for (std::size_t k = 0; k < items.size(); ++k)
      if (!items[k].value && !used[k] && alike(items[k].word, kind[w])) {
        used[k] = true;
        ++out.said;
        first = first || w == 0;
        break;
      }
  out.whole = out.said == static_cast<int>(kind.size());
  if (!first) {
    out.said = 0;
    return out;
  }
  // Choices, in the words of the case format.
  for (const ArgumentSpec& a : spec.arguments)
    for (const std::string& option : words_to_choose(a)) {
      if (a.words_from == WordsFrom::kQuantity || out.values.count(a.name) > 0) break;
      const std::vector<std::string> run = words_of(with_spaces(option));
      std::size_t at = find_run(items, used, run), length = run.size();
      if (at == std::string::npos) at = find_run(items, used, {option}), length = 1;
      if (at == std::string::npos) continue;
      for (std::size_t k = 0; k < length; ++k) used[at + k] = true;
      out.values[a.name] = option;
      out.chosen = true;
      // Its name may stand before it.
      while (at > 0 && !items[at - 1].value && is_small(items[at - 1].word)) --at;
      if (at > 0 && !items[at - 1].value && items[at - 1].word == a.name) used[at - 1] = true;
    }
  // Values: by the name before them, else the first open argument of their dimension.
  const auto take = [&](std::size_t k, bool named) {
    for (const ArgumentSpec& a : spec.arguments) {
      if (a.words_from != WordsFrom::kQuantity || a.dimension != items[k].dimension ||
          out.values.count(a.name) > 0)
        continue;
      const std::vector<std::string> name = words_of(with_spaces(a.name));
      bool stands_before = k >= name.size();
      for (std::size_t n = 0; n < name.size() && stands_before; ++n)
        stands_before = !items[k - name.size() + n].value && items[k - name.size() + n].word == name[n];
      if (named && !stands_before) continue;
      if (named)
        for (std::size_t n = 0; n < name.size(); ++n) used[k - name.size() + n] = true;
      out.values[a.name] = items[k].word;
      used[k] = true;
      return;
    }
  };
  for (const bool named : {true, false})
    for (std::size_t k = 0; k < items.size(); ++k)
      if (items[k].value && !used[k]) take(k, named);
  // A file's name: what no other argument took.
  for (const ArgumentSpec& a : spec.arguments) {
    const bool file = a.words_from == WordsFrom::kPartId || a.words_from == WordsFrom::kMaterialId;
    for (std::size_t k = 0; file && k < items.size() && out.values.count(a.name) == 0; ++k)
      if (!items[k].value && !used[k] && !is_small(items[k].word)) {
        out.values[a.name] = items[k].word;
        used[k] = true;
      }
  }
  // Of alternatives the one that something was said of; nothing said: the first.
  char group = ' ';
  for (const ArgumentSpec& a : spec.arguments)
    if (a.group != ' ' && (group == ' ' || out.values.count(a.name) > 0)) group = a.group;
  for (const ArgumentSpec& a : spec.arguments)
    if (a.presence == Presence::kRequired && (a.group == ' ' || a.group == group) &&
        out.values.count(a.name) == 0)
      out.missing.push_back(write_argument(a));
  for (std::size_t k = 0; k < items.size(); ++k)
    if (!used[k] && (items[k].value || !is_small(items[k].word))) out.strange.push_back(items[k].word);
  return out;
}

// Any key of the case: for the file, not for a phrase.
bool takes_any_key(const RemedyRow& spec) {
  return std::any_of(spec.arguments.begin(), spec.arguments.end(),
                     [](const ArgumentSpec& a) { return a.words_from == WordsFrom::kKeyPath; });
}

}  // namespace

std::string write_change_of(const std::string& phrase, const RemedyList& remedies) {
  for (const char c : phrase)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
      throw base::UserError("the change holds a control character", "type it in plain words");
  const std::vector<Item> items = items_of(phrase);
  std::vector<Fitted> fitting, near;
  for (const Remedy* remedy : remedies) {
    if (takes_any_key(remedy->row)) continue;
    const Fitted f = fit(remedy->row, items);
    if (f.said == 0) continue;
    (f.fits() ? fitting : near).push_back(f);
  }
  const auto more = [](const Fitted& a, const Fitted& b) { return a.said > b.said; };
  std::stable_sort(fitting.begin(), fitting.end(), more);
  if (fitting.size() > 1 && fitting[0].said == fitting[1].said) {
    std::vector<std::string> kinds;
    for (const Fitted& f : fitting)
      if (f.said == fitting[0].said) kinds.push_back(f.spec->kind);
    throw base::UserError(fmt::format("\"{}\" can mean: {}", phrase, fmt::join(kinds, "; ")),
                          "say one of these words with it");
  }
  if (fitting.empty()) {
    if (near.empty()) {
      std::set<std::string> first;
      for (const Remedy* remedy : remedies)
        if (!takes_any_key(remedy->row)) first.insert(remedy->row.kind);
      throw base::UserError(fmt::format("\"{}\" names no change that is known", phrase),
                            fmt::format("begin with what is changed: {}", fmt::join(first, "; ")));
    }
    std::stable_sort(near.begin(), near.end(), [&](const Fitted& a, const Fitted& b) {
      return a.said != b.said ? a.said > b.said
                              : a.missing.size() + a.strange.size() < b.missing.size() + b.strange.size();
    });
    const Fitted& f = near.front();
    if (f.missing.empty() && f.strange.empty()) {
      std::vector<std::string> kinds;
      for (const Fitted& n : near) kinds.push_back(n.spec->kind);
      throw base::UserError(fmt::format("\"{}\" does not say which change is meant", phrase),
                            fmt::format("one of: {}", fmt::join(kinds, "; ")));
    }
    std::vector<std::string> can;
    for (const ArgumentSpec& a : f.spec->arguments) can.push_back(write_argument(a));
    throw base::UserError(f.missing.empty() ? fmt::format("\"{}\": not understood of \"{}\": {}", phrase,
                                                          f.spec->kind, fmt::join(f.strange, ", "))
                                            : fmt::format("\"{}\": \"{}\" lacks {}", phrase, f.spec->kind,
                                                          fmt::join(f.missing, "; ")),
                          fmt::format("say of it: {}", fmt::join(can, "; ")));
  }
  const Fitted& f = fitting.front();
  std::string out = fmt::format("[[set_up.change]]\nkind = {}\n", toml_text(f.spec->kind));
  for (const ArgumentSpec& a : f.spec->arguments)
    if (const auto at = f.values.find(a.name); at != f.values.end())
      out += fmt::format("{} = {}\n", a.name, toml_text(at->second));
  return out;
}

std::string write_set_up_of(const std::vector<std::string>& phrases, const RemedyList& remedies) {
  std::string changes;
  for (const std::string& phrase : phrases) changes += write_change_of(phrase, remedies);
  const std::string name = fmt::format("{}", fmt::join(phrases, ", "));
  return fmt::format("[[set_up]]\nname = {}\ndescription = {}\n{}", toml_text(name), toml_text(name),
                     changes);
}

}  // namespace leverwright::case_file

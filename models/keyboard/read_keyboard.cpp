#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/keyboard/read_samples.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::keyboard {

using case_file::Dimension;
using case_file::FileText;
using case_file::Node;
using case_file::ProblemList;
using case_file::Quantity;

namespace {

constexpr const char* kPage = "see models/handbook/keyboard.md";
constexpr const char* kWishes[] = {"measured", "middle of the lifting face", "by regulation", "by weight"};

struct Reader {
  const case_file::CaseDescription& d;
  const FileText& file;
  ProblemList& problems;

  void refuse_unknown(const Node& node, const std::vector<std::string>& known,
                      const std::string& where) const {
    for (const auto& [key, member] : node.members) {
      if (std::find(known.begin(), known.end(), key) != known.end()) continue;
      const std::string near = case_file::nearest_word(key, known);
      problems.add(file, member.line, fmt::format("{} has no \"{}\"", where, key),
                   fmt::format("{}", fmt::join(known, ", ")),
                   near.empty() ? kPage : fmt::format("did you mean \"{}\"?", near));
    }
  }
  bool is_table(const Node* node, const std::string& name) const {
    if (node == nullptr) return false;
    if (node->kind == Node::Kind::kTable) return true;
    problems.add(file, node->line, fmt::format("\"{}\" is a section", name), fmt::format("[{}]", name),
                 kPage);
    return false;
  }
  // NaN after a problem.
  double value(const Node& node, Dimension dimension, const std::string& range) const {
    const bool plain = dimension == Dimension::kNumber || dimension == Dimension::kCount;
    if (node.kind == Node::Kind::kText || (plain && node.kind == Node::Kind::kNumber)) {
      const std::string text = node.kind == Node::Kind::kText ? node.text : fmt::format("{}", node.number);
      const auto result = case_file::read_quantity(text, dimension, "", range);
      if (const auto* q = std::get_if<Quantity>(&result)) return q->value;
      const auto& fault = std::get<case_file::QuantityFault>(result);
      problems.add(file, node.line, fault.what, fault.expected, fault.advice);
    } else {
      problems.add(file, node.line, "a value with its unit is wanted here",
                   case_file::dimension_words(dimension) + " in quotes", kPage);
    }
    return NAN;
  }
  void take(const Node& node, const char* key, Dimension dimension, const std::string& range,
            double& to) const {
    if (const Node* found = node.find(key)) to = value(*found, dimension, range);
  }
  NoteLine line(const Node& node, const char* key) const {
    NoteLine out;
    const Node* found = node.find(key);
    if (found == nullptr) return out;
    const std::string expected =
        "\"38 gf\", or [[1, \"40 gf\"], [88, \"4 gf\"]]: note and weight, notes rising";
    if (found->kind == Node::Kind::kText) {
      out.points = {{kFirstNote, value(*found, Dimension::kWeight, "-60 to 90 gf")}};
      return out;
    }
    bool good = found->kind == Node::Kind::kArray && !found->items.empty();
    for (const Node& item : found->items) {
      good = good && item.kind == Node::Kind::kArray && item.items.size() == 2 &&
             item.items[0].kind == Node::Kind::kNumber && item.items[0].whole &&
             item.items[0].number >= kFirstNote && item.items[0].number <= kLastNote &&
             (out.points.empty() || item.items[0].number > out.points.back().first);
      if (!good) break;
      out.points.emplace_back(static_cast<int>(item.items[0].number),
                              value(item.items[1], Dimension::kWeight, "-60 to 90 gf"));
    }
    if (!good)
      problems.add(file, found->line, fmt::format("\"{}\" is no line over the notes", key), expected, kPage);
    return out;
  }
};

void read_capstan(const Reader& r, const Node& node, KeyboardCase& k) {
  r.refuse_unknown(node, {"wanted", "aftertouch", "weight_ratio", "break"}, "[keyboard.capstan]");
  if (const Node* wanted = node.find("wanted")) {
    std::vector<const Node*> items;
    if (wanted->kind == Node::Kind::kArray)
      for (const Node& item : wanted->items) items.push_back(&item);
    else
      items.push_back(wanted);
    for (const Node* item : items) {
      const auto at = std::find(std::begin(kWishes), std::end(kWishes), item->text);
      if (item->kind == Node::Kind::kText && at != std::end(kWishes)) {
        k.wishes.push_back(static_cast<CapstanWish>(at - std::begin(kWishes)));
        continue;
      }
      const std::string near = case_file::nearest_word(item->text, {std::begin(kWishes), std::end(kWishes)});
      r.problems.add(
          r.file, item->line, fmt::format("a capstan is not wanted \"{}\"", item->text),
          fmt::format("one or more of \"{}\"", fmt::join(std::begin(kWishes), std::end(kWishes), "\", \"")),
          near.empty() ? kPage : fmt::format("did you mean \"{}\"?", near));
    }
  }
  r.take(node, "aftertouch", Dimension::kLength, "0.2 to 3 mm", k.aftertouch);
  r.take(node, "weight_ratio", Dimension::kNumber, "3 to 9", k.weight_ratio);
  const Node* broken = node.find("break");
  if (broken == nullptr) return;
  if (broken->kind == Node::Kind::kText && (broken->text == "none" || broken->text == "sought"))
    k.break_after = broken->text == "none" ? 0 : -1;
  else if (broken->kind == Node::Kind::kNumber && broken->whole && broken->number >= 2 &&
           broken->number <= 86)
    k.break_after = static_cast<int>(broken->number);
  else
    r.problems.add(r.file, broken->line, "\"break\" is not understood",
                   "\"none\", \"sought\", or the last note of the lower section, 2 to 86", kPage);
}

void read_leads(const Reader& r, const Node& node, KeyboardCase& k) {
  r.refuse_unknown(node,
                   {"wanted_front_weight", "wanted_balance_weight", "stock", "from", "to", "to_sharp",
                    "rear_from", "rear_to", "spacing", "most", "tolerance", "front_weight_limit"},
                   "[keyboard.leads]");
  k.has_leads = true;
  LeadRules& rules = k.rules;
  k.wanted_front_weight = r.line(node, "wanted_front_weight");
  k.wanted_balance_weight = r.line(node, "wanted_balance_weight");
  k.front_weight_limit = r.line(node, "front_weight_limit");
  if (k.wanted_front_weight.empty() == k.wanted_balance_weight.empty())
    r.problems.add(r.file, node.line,
                   k.wanted_front_weight.empty() ? "nothing is wanted of the leads" : "two things are wanted",
                   "wanted_front_weight or wanted_balance_weight",
                   "the one fixes the other: give one of them");
  if (const Node* stock = node.find("stock")) {
    rules.stock.clear();
    if (stock->kind != Node::Kind::kArray || stock->items.empty())
      r.problems.add(r.file, stock->line, "\"stock\" is a list of masses", "stock = [\"14 g\", \"10 g\"]",
                     kPage);
    for (const Node& item : stock->items) rules.stock.push_back(r.value(item, Dimension::kMass, "1 to 60 g"));
  }
  r.take(node, "from", Dimension::kLength, "10 to 300 mm", rules.from);
  r.take(node, "to", Dimension::kLength, "10 to 300 mm", rules.to);
  k.to_sharp = rules.to;
  r.take(node, "to_sharp", Dimension::kLength, "10 to 300 mm", k.to_sharp);
  r.take(node, "rear_from", Dimension::kLength, "10 to 300 mm", rules.rear_from);
  r.take(node, "rear_to", Dimension::kLength, "10 to 300 mm", rules.rear_to);
  r.take(node, "spacing", Dimension::kLength, "1 to 100 mm", rules.spacing);
  r.take(node, "tolerance", Dimension::kWeight, "0.02 to 5 gf", rules.tolerance);
  double most = rules.most;
  r.take(node, "most", Dimension::kCount, "1 to 8", most);
  rules.most = std::isfinite(most) ? static_cast<int>(most) : rules.most;
  if (!(std::min(rules.to, k.to_sharp) > rules.from))
    r.problems.add(r.file, node.line, "there is no room for leads",
                   "\"to\" (and \"to_sharp\") beyond \"from\"", "both are distances from the balance hole");
}

Dimension dimension_of(const SampleColumn& c) {
  if (c.logarithmic) return Dimension::kNumber;  // of a logarithm: 0.1 is ten per cent
  const auto* spec = case_file::schema().find_key(c.key);
  if (spec != nullptr) return spec->dimension;
  return c.key == "wanted_capstan"   ? Dimension::kLength
         : c.key == "lead_reflected" ? Dimension::kMass
                                     : Dimension::kWeight;
}

void read_laws(const Reader& r, const Node& list, KeyboardCase& k) {
  if (list.kind != Node::Kind::kArray) {
    r.problems.add(r.file, list.line, "a law is a list entry", "[[keyboard.law]]", "use double brackets");
    return;
  }
  for (const Node& node : list.items) {
    r.refuse_unknown(node, {"column", "degree", "apart", "scatter"}, "[[keyboard.law]]");
    const Node *column = node.find("column"), *degree = node.find("degree"), *apart = node.find("apart");
    const std::string name = column ? column->text : "";
    const auto fits = [&](const SampleColumn& c) {
      return c.key == name ||
             (!name.empty() && c.key.size() > name.size() &&
              c.key.compare(c.key.size() - name.size() - 1, std::string::npos, "." + name) == 0);
    };
    const auto found = std::find_if(k.columns.begin(), k.columns.end(), fits);
    if (found == k.columns.end()) {
      std::vector<std::string> names;
      for (const auto& c : k.columns) names.push_back(c.key);
      const std::string near = case_file::nearest_word(name, names);
      r.problems.add(r.file, column ? column->line : node.line,
                     fmt::format("the sheet of samples has no column \"{}\"", name),
                     fmt::format("one of {}", fmt::join(names, ", ")),
                     near.empty() ? kPage : fmt::format("did you mean \"{}\"?", near));
      continue;
    }
    if (degree) {
      const double n = r.value(*degree, Dimension::kCount, "0 to 4");
      if (std::isfinite(n)) found->law.degree = static_cast<int>(n);
    }
    if (const Node* scatter = node.find("scatter")) {
      const double tau = r.value(*scatter, dimension_of(*found), "");
      if (std::isfinite(tau) && tau >= 0)
        found->law.scatter = tau;
      else if (std::isfinite(tau))
        r.problems.add(r.file, scatter->line, "a scatter is not negative", "scatter = \"0.15 gf\"");
    }
    if (apart && apart->kind == Node::Kind::kTruth)
      found->law.apart = apart->truth;
    else if (apart)
      r.problems.add(r.file, apart->line, "\"apart\" is true or false", "apart = true",
                     "true: naturals and sharps each have their own line");
  }
}

// A law for naturals and sharps apart needs both among the samples.
void settle_laws(KeyboardCase& k) {
  std::vector<std::string> together;
  for (SampleColumn& c : k.columns) {
    if (!c.law.apart) continue;
    const auto sharps =
        std::count_if(c.samples.begin(), c.samples.end(), [](const Sample& s) { return is_sharp(s.note); });
    if (sharps > 0 && sharps < static_cast<long>(c.samples.size())) continue;
    c.law.apart = false;
    c.law.one_kind = true;
    together.push_back(c.name + (sharps == 0 ? " (no sharp measured)" : " (no natural measured)"));
  }
  if (!together.empty())
    k.warnings.push_back(fmt::format(
        "Naturals and sharps could not be kept apart for {}: measure at least one of each kind; until then "
        "the other kind is a guess.",
        fmt::join(together, ", ")));
}

void check_whole(const Reader& r, const Node& section, KeyboardCase& k) {
  const Node* capstan = section.find("capstan");
  const int line = capstan ? capstan->line : section.line;
  if (k.wishes.empty())
    k.wishes = {k.find("wanted_capstan") ? CapstanWish::kMeasured : CapstanWish::kHeelMiddle};
  for (const CapstanWish wish : k.wishes) {
    if (wish == CapstanWish::kMeasured && !k.find("wanted_capstan"))
      r.problems.add(r.file, line, "measured capstan places are wanted, but none was measured",
                     "a column wanted_capstan [mm] in the sheet of samples",
                     "or wanted = \"middle of the lifting face\"");
    if (wish == CapstanWish::kByWeight && !(k.weight_ratio > 0))
      r.problems.add(r.file, line, "capstans are wanted by weight, but no weight ratio is given",
                     "weight_ratio = 5.5 in [keyboard.capstan]");
    if (wish == CapstanWish::kByRegulation) {
      if (k.aftertouch <= 0 && r.d.has("regulation.aftertouch"))
        k.aftertouch = r.d.value("regulation.aftertouch");
      if (!(k.aftertouch > 0))
        r.problems.add(r.file, line, "capstans are wanted by regulation, but no aftertouch is given",
                       "aftertouch = \"1.2 mm\" in [keyboard.capstan]");
      if (r.d.choice("regulation.policy") != "keep dip and blow")
        r.problems.add(
            r.file, line,
            fmt::format("with the policy \"{}\" the aftertouch says nothing about the capstan's place",
                        r.d.choice("regulation.policy")),
            "policy = \"keep dip and blow\" in [regulation]", "or another way of wanting the capstan");
    }
  }
}

}  // namespace

const char* words_of(CapstanWish wish) { return kWishes[static_cast<std::size_t>(wish)]; }

double NoteLine::at(int note) const {
  if (points.empty()) return NAN;
  if (note <= points.front().first) return points.front().second;
  for (std::size_t k = 1; k < points.size(); ++k)
    if (note <= points[k].first) {
      const double share = static_cast<double>(note - points[k - 1].first) /
                           static_cast<double>(points[k].first - points[k - 1].first);
      return points[k - 1].second + share * (points[k].second - points[k - 1].second);
    }
  return points.back().second;
}

const SampleColumn* KeyboardCase::find(const std::string& key) const {
  for (const SampleColumn& c : columns)
    if (c.key == key) return &c;
  return nullptr;
}

bool has_keyboard(const case_file::CaseDescription& d) {
  FileText file;
  Node root;
  ProblemList problems;
  return case_file::read_document(d.path, "case file", file, root, problems) &&
         root.find("keyboard") != nullptr;
}

KeyboardCase read_keyboard(const case_file::CaseDescription& d) {
  FileText file;
  Node root;
  ProblemList problems;
  KeyboardCase k;
  if (case_file::read_document(d.path, "case file", file, root, problems)) {
    const Reader r{d, file, problems};
    const Node* section = root.find("keyboard");
    if (section == nullptr) {
      problems.add(file, 0, "this case says nothing about the whole keyboard",
                   "a section [keyboard] with samples = \"sample_notes.csv\"", kPage);
    } else if (r.is_table(section, "keyboard")) {
      r.refuse_unknown(*section, {"samples", "capstan", "leads", "spring", "law"}, "[keyboard]");
      const Node* samples = section->find("samples");
      if (samples != nullptr && samples->kind == Node::Kind::kText)
        read_samples(d, (std::filesystem::path(d.path).parent_path() / samples->text).string(), k, problems);
      else
        problems.add(file, samples ? samples->line : section->line,
                     "[keyboard] names no sheet of sample notes",
                     "samples = \"sample_notes.csv\", a file beside the case", kPage);
      if (const Node* laws = section->find("law")) read_laws(r, *laws, k);
      const Node *capstan = section->find("capstan"), *leads = section->find("leads"),
                 *spring = section->find("spring");
      if (r.is_table(capstan, "keyboard.capstan")) read_capstan(r, *capstan, k);
      if (r.is_table(leads, "keyboard.leads")) read_leads(r, *leads, k);
      if (r.is_table(spring, "keyboard.spring")) {
        r.refuse_unknown(*spring, {"fade"}, "[keyboard.spring]");
        r.take(*spring, "fade", Dimension::kNumber, "0 to 1", k.spring_fade);
      }
      settle_laws(k);
      if (problems.empty()) check_whole(r, *section, k);
    }
  }
  if (!problems.empty()) throw base::UserError(problems.sorted());
  return k;
}

}  // namespace leverwright::keyboard

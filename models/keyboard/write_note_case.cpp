#include "models/keyboard/write_note_case.h"

#include <fmt/format.h>

#include <map>
#include <set>
#include <sstream>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"

namespace leverwright::keyboard {

namespace {

// "[[set_up.change]] # remark" -> "set_up.change"; "" when the line opens no section.
std::string section_of(const std::string& line) {
  const auto from = line.find_first_not_of(" \t");
  if (from == std::string::npos || line[from] != '[') return "";
  const auto begin = line.find_first_not_of("[ \t", from), end = line.find_first_of("] \t", begin);
  return begin == std::string::npos ? "" : line.substr(begin, end - begin);
}

// "spread = ..." -> "spread".
std::string key_of(const std::string& line) {
  const auto from = line.find_first_not_of(" \t"), equals = line.find('=');
  if (from == std::string::npos || equals == std::string::npos || line[from] == '#') return "";
  const auto last = line.find_last_not_of(" \t", equals - 1);
  return line.substr(from, last - from + 1);
}

bool begins_with(const std::string& text, const std::string& head) { return text.rfind(head, 0) == 0; }

}  // namespace

std::string write_note_case(const case_file::CaseDescription& base, const KeyboardCase& in,
                            const std::vector<Carried>& carried, int note) {
  const case_file::CaseDescription d = describe_note(base, in, carried, note);
  // Section -> key -> what is written there; nothing: the line goes.
  std::map<std::string, std::map<std::string, std::string>> wanted;
  const auto want = [&](const std::string& path, const std::string& text) {
    const auto dot = path.rfind('.');
    wanted[path.substr(0, dot)][path.substr(dot + 1)] = text;
  };
  const auto want_value = [&](const std::string& path) {
    if (d.quantities.count(path) != 0) want(path, "\"" + case_file::write_quantity(d.quantity(path)) + "\"");
  };
  for (const SampleColumn& c : in.columns)
    if (c.key == "key_friction") {
      want_value("friction.key_balance");
      want_value("friction.key_front");
    } else if (c.key != "measured.down_weight" && c.key != "measured.up_weight" &&
               case_file::schema().find_key(c.key) != nullptr) {
      want_value(c.key);
    }
  for (const auto& [path, unused] : base.quantities)
    if (d.quantities.count(path) == 0) want(path, "");
  for (const char* gone : {"measured.down_weight", "measured.up_weight"}) want(gone, "");
  want("note.name", "\"" + note_name(note) + "\"");
  want("note.number", std::to_string(note));
  want("note.kind", is_sharp(note) ? "\"sharp\"" : "\"natural\"");
  const bool own_leads = in.find("lead_reflected") != nullptr;

  std::string out =
      fmt::format("# Note {} ({}), carried from the sample notes of {}\n", note, note_name(note), base.path);
  std::string section;
  const auto rest_of = [&](const std::string& of) {  // what the section lacks so far
    std::string text;
    for (const auto& [key, value] : wanted[of])
      if (!value.empty()) text += key + " = " + value + "\n";
    wanted.erase(of);
    return text;
  };
  std::istringstream lines(base.text);
  bool quoted = false;  // inside a text over several lines
  for (std::string line; std::getline(lines, line);) {
    const bool was_quoted = quoted;
    for (std::size_t at = 0; (at = line.find("\"\"\"", at)) != std::string::npos; at += 3) quoted = !quoted;
    const std::string opens = was_quoted ? "" : section_of(line);
    if (!opens.empty()) section = opens;
    if (begins_with(section, "keyboard") || begins_with(section, "seek") || (own_leads && section == "lead"))
      continue;
    if (!opens.empty()) {
      out += line + "\n";
      const auto here = wanted.find(section);
      if (here != wanted.end()) out += rest_of(section);
      continue;
    }
    // Those keys stand below their section's head already.
    const std::string key = was_quoted ? "" : key_of(line), path = section + "." + key;
    const bool replaced =
        !key.empty() && (d.quantities.count(path) == 0
                             ? base.quantities.count(path) != 0
                             : in.find(path) != nullptr ||
                                   (in.find("key_friction") != nullptr &&
                                    (path == "friction.key_balance" || path == "friction.key_front")));
    const bool reading = path == "measured.down_weight" || path == "measured.up_weight";
    if (!replaced && !reading && !begins_with(path, "note.")) out += line + "\n";
  }
  std::set<std::string> left;
  for (const auto& [name, unused] : wanted) left.insert(name);
  for (const std::string& name : left)
    if (const std::string text = rest_of(name); !text.empty()) out += "\n[" + name + "]\n" + text;
  if (own_leads)
    for (const case_file::Lead& lead : d.leads)
      out += fmt::format(
          "\n# all leads of this key as one of the same moment and inertia\n[[lead]]\n"
          "mass = \"{:.12g} g +- 0\"\ndistance = \"{:.12g} mm +- 0\"\n",
          lead.mass * 1e3, lead.distance * 1e3);
  return out;
}

}  // namespace leverwright::keyboard

#include "models/workshop/new_part.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>

#include "models/case_file/document.h"
#include "models/case_file/library.h"
#include "models/case_file/read_case.h"
#include "models/remedies/part.h"
#include "models/workshop/case_text.h"
#include "sim/base/error.h"

namespace leverwright::workshop {

using case_file::CaseDescription;

namespace {

std::string read_part_text(const CaseDescription& d, const std::string& slot) {
  const std::string id = d.choice("parts." + slot);
  const std::string path =
      case_file::library_path(case_file::default_models_directory(), "parts", id, d.path);
  std::ifstream in(path, std::ios::binary);
  std::string text((std::istreambuf_iterator<char>(in)), {});
  if (!in || text.empty()) throw base::UserError("the part file " + path + " cannot be read", "");
  return text;
}

std::string value_line(const SheetLine& l, const Cell& cell) {
  if (l.use == Use::kChoice) return case_file::toml_text(cell.text);
  return "{ value = " + case_file::toml_text(cell.text) + ", source = \"bench\" }";
}

// The part with these cells put in; lines of other parts are passed over.
template <class Find>
std::string put_cells(const std::string& text, const std::string& slot, const Find& find,
                      const std::string& remark) {
  CaseText out(text);
  for (const SheetLine& l : sheet_lines()) {
    const std::string key = part_key(l, slot);
    if (key.empty() || l.use == Use::kTracePoint) continue;
    if (const Cell* c = find(l)) out.put("", key, value_line(l, *c));
  }
  put_trace_block(out, "heel_profile", find);
  return "# " + remark + "\n" + out.text();
}

}  // namespace

const std::vector<std::string>& slots_of_new_parts() {
  static const std::vector<std::string> slots = {"wippen", "hammer", "capstan"};
  return slots;
}

std::string part_key(const SheetLine& l, const std::string& slot) {
  if (l.key.rfind(slot + ".", 0) == 0) return l.key.substr(slot.size() + 1);
  for (const auto& [own, measured] : remedies::own_values())
    if (measured == l.key && own.rfind(slot + ".", 0) == 0) return own.substr(slot.size() + 1);
  return "";
}

PartFiles write_part_files(const FilledSheet& sheet, std::size_t note, const CaseDescription& base) {
  PartFiles out;
  out.slot = sheet.new_slot;
  if (sheet.new_part.empty())
    throw base::UserError(
        fmt::format("{}: nothing is filled in under \"{}{}\"", sheet.path, kNewPartHeading, out.slot),
        "fill in what differs from the old part");
  const auto found = [&](const SheetLine& l) { return sheet.find(l.number, note); };
  const auto fresh = [&](const SheetLine& l) -> const Cell* {
    const auto at = sheet.new_part.find(l.number);
    return at == sheet.new_part.end() ? nullptr : &at->second;
  };
  const std::string before = read_part_text(base, out.slot);
  const std::string id = base.choice("parts." + out.slot);
  out.old_name = out.slot + "_as_found.toml";
  out.new_name = out.slot + "_new.toml";
  out.old_text = put_cells(
      before, out.slot, found,
      fmt::format("The {} as found, from a bench sheet; what was not measured is as in {}.", out.slot, id));
  // What was read as weight or friction of the old part does not pass for the new one's.
  const auto dimension_of_old = [&](const SheetLine& l) -> const Cell* {
    return l.key.rfind(out.slot + ".", 0) == 0 || l.use == Use::kTracePoint ? found(l) : nullptr;
  };
  const std::string as_old = put_cells(before, out.slot, dimension_of_old, "");
  out.new_text = put_cells(
      as_old.substr(as_old.find('\n') + 1), out.slot, fresh,
      fmt::format("The new {}, from a bench sheet; what was not measured is as in the old one.", out.slot));
  for (const SheetLine& l : sheet_lines())
    if (!part_key(l, out.slot).empty() && found(l) != nullptr && fresh(l) == nullptr &&
        l.use != Use::kTracePoint)
      out.unmeasured.emplace_back(l.name);
  out.set_up = kNewPartHeading + out.slot;
  out.set_up_text = fmt::format(
      "\n[[set_up]]\nname = \"{0}\"\ndescription = \"the {1} of the sheet's column \\\"{0}\\\"\"\n[[set_up.change]]\n"
      "kind = \"part\"\nslot = \"{1}\"\nid = \"{2}\"\n",
      out.set_up, out.slot, out.new_name);
  return out;
}

}  // namespace leverwright::workshop

#include "models/action/options.h"

#include <string>

namespace leverwright::action {

const std::array<OptionName, kOptionCount> kOptions = {{
    {"shank_bending", "shank bending"},
    {"compliant_string", "compliant string"},
    {"balance_punching", "balance punching"},
    {"check_wire", "check wire bends"},
    {"damper_lever", "damper lifted part-way"},
}};

namespace {
std::string path_of(std::size_t option) { return std::string("options.") + kOptions[option].key; }
}  // namespace

Options read_options(const case_file::CaseDescription& d) {
  Options out;
  for (std::size_t i = 0; i < kOptionCount; ++i) out.on[i] = d.choice(path_of(i)) == "on";
  return out;
}

case_file::CaseDescription with_option(const case_file::CaseDescription& original, Option option, bool on) {
  case_file::CaseDescription d = original;
  d.choices.at(path_of(static_cast<std::size_t>(option))) = on ? "on" : "off";
  return d;
}

}  // namespace leverwright::action

#include "models/action/options.h"

#include <cmath>
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
  // The strings of a note are struck together: masses and tensions add up, the length is one.
  const double strings = d.value("string.count");
  out.string.length = d.value("string.length");
  out.string.mass = strings * d.value("string.mass");
  out.string.tension = strings * d.value("string.tension");
  out.string.stiffness = d.value("string.stiffness");
  out.string.striking_share = d.value("string.striking_share");
  out.string.loss_constant = d.value("string.loss_constant");
  out.string.loss_rising = d.value("string.loss_rising");
  out.string.modes = static_cast<int>(std::lround(d.value("string.modes")));
  // A beam held at one end and pressed at `arm` gives way by F arm^3/(3 EI).
  out.shank.bending = d.value("shank.stiffness") * std::pow(d.value("shank.stiffness_arm"), 3) / 3.0;
  out.shank.mass = d.value("shank.mass");
  out.shank.head_half_width = d.value("shank.head_half_width");
  out.shank.loss_time = d.value("shank.loss_time");
  return out;
}

case_file::CaseDescription with_option(const case_file::CaseDescription& original, Option option, bool on) {
  case_file::CaseDescription d = original;
  d.choices.at(path_of(static_cast<std::size_t>(option))) = on ? "on" : "off";
  return d;
}

}  // namespace leverwright::action

// Options of the model, each switched by one line under [options] of a case (rows: models/case_file/
// schema_options.cpp, schema_key_options.cpp). To add one: a line in Option and kOptions, its numbers in
// Options, read in read_options, and the bodies, contacts and springs it brings in a function that assemble()
// calls after the five bodies and their contacts stand (extra bodies through Action::add_body, before the
// finger).
#pragma once
#include <array>

#include "models/case_file/case_description.h"
#include "sim/planar/modal_string.h"

namespace leverwright::action {

enum Option { kShankBending, kCompliantString, kBalancePunching, kCheckWire, kDamperLever, kOptionCount };

struct OptionName {
  const char* key;   // under [options]
  const char* name;  // for people
};
extern const std::array<OptionName, kOptionCount> kOptions;

// The shank as a beam, see shank.h.
struct ShankData {
  double bending = 0;          // EI [N m2]
  double mass = 0;             // of the bare shank [kg]
  double head_half_width = 0;  // [m]
  double loss_time = 0;        // [s]
};

struct Options {
  std::array<bool, kOptionCount> on{};
  planar::StringData string;  // all strings of the note together
  ShankData shank;
  bool has(Option o) const { return on[static_cast<std::size_t>(o)]; }
};

Options read_options(const case_file::CaseDescription& description);

// The same case with one option switched.
case_file::CaseDescription with_option(const case_file::CaseDescription& description, Option option, bool on);

}  // namespace leverwright::action

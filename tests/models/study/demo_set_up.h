// The base set-up of the demo case, regulated and weighed once.
#pragma once
#include "models/remedies/read_case.h"
#include "models/study/compare.h"

namespace leverwright::study {

struct Demo {
  case_file::CaseDescription description = remedies::read_case("cases/missed_heel/case.toml");
  SetUpResult set_up;
  Demo() {
    description.set_ups.resize(1);
    CompareOptions options;
    options.uncertainty = false;
    set_up = std::move(compare(description, options).set_ups.front());
  }
};
inline const Demo& demo() {
  static const Demo d;
  return d;
}

}  // namespace leverwright::study

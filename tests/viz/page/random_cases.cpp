// Random actions (tests/hardness/wild_action.h) as case texts: each line of output one of them as a JSON text.
//
//   random_cases COUNT [SEED] [FROM] [SET_UPS]     run from the project's root
//
// Values a draw moved, its leads and its set-ups are written into the text of cases/missed_heel; some are refused by
// the reader, as they are meant to be.
#include <cstdint>
#include <iostream>
#include <nlohmann/json.hpp>
#include <string>

#include "models/case_file/document.h"
#include "models/case_file/quantity.h"
#include "models/remedies/read_case.h"
#include "models/workshop/case_text.h"
#include "tests/hardness/wild_action.h"
#include "viz/page/core/case_text.h"

namespace leverwright {
namespace {

bool differs(const case_file::Quantity& a, const case_file::Quantity& b) {
  return a.value != b.value || a.knowledge != b.knowledge || a.sigma != b.sigma;
}

std::string text_of(const case_file::CaseDescription& model, const case_file::CaseDescription& d) {
  const auto written = page::read_set_up_texts(model.text, model.path);
  workshop::CaseText text(page::without_set_ups(model.text, written));
  for (const auto& [path, q] : d.quantities) {
    const auto before = model.quantities.find(path);
    if (before != model.quantities.end() && !differs(before->second, q)) continue;
    const auto dot = path.rfind('.');
    text.put(path.substr(0, dot), path.substr(dot + 1), case_file::toml_text(case_file::write_quantity(q)));
  }
  for (const auto& [path, word] : d.choices) {
    const auto before = model.choices.find(path);
    if (before != model.choices.end() && before->second == word) continue;
    const auto dot = path.rfind('.');
    text.put(path.substr(0, dot), path.substr(dot + 1), case_file::toml_text(word));
  }
  std::string out = text.text();
  for (std::size_t k = 0; k < d.set_ups.size(); ++k) {
    page::SetUpText s;
    s.name = k == 0 ? "as found" : d.set_ups[k].name;
    for (const auto& change : d.set_ups[k].changes) {
      page::ChangeText c;
      c.kind = change.remedy->row.kind;
      for (const auto& [name, word] : change.choices) c.arguments.emplace_back(name, word);
      for (const auto& [name, q] : change.quantities)
        c.arguments.emplace_back(name, case_file::write_quantity(q));
      s.changes.push_back(c);
    }
    out += "\n" + page::write_set_up_text(s);
  }
  return out;
}

}  // namespace
}  // namespace leverwright

int main(int argc, char** argv) {
  using namespace leverwright;
  if (argc < 2) {
    std::cerr << "random_cases COUNT [SEED] [FROM] [SET_UPS]\n";
    return 2;
  }
  const std::uint64_t seed = argc > 2 ? std::stoull(argv[2]) : 20261129;
  const int from = argc > 3 ? std::stoi(argv[3]) : 0, set_ups = argc > 4 ? std::stoi(argv[4]) : 2;
  const auto model = remedies::read_case("cases/missed_heel/case.toml");
  for (int k = from; k < from + std::stoi(argv[1]); ++k) {
    std::seed_seq both{seed, static_cast<std::uint64_t>(k)};
    std::mt19937_64 engine(both);
    auto action = hardness::draw_wild(model, engine);
    hardness::add_wild_set_ups(action.description, set_ups, engine);
    std::cout << nlohmann::json(text_of(model, action.description)).dump() << "\n";
  }
}

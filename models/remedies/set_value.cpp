// set value: any one key of the case given another value, for what no other remedy covers.
#include "models/case_file/read_values.h"
#include "models/remedies/all.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using case_file::CaseDescription;
using case_file::ChangeReader;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"set value",
          30,
          "any one key of the case given another value, for what no other kind covers",
          "that key alone",
          {},
          "yes",
          kUndoneWithWork,
          {"note", 0, 0},
          "find out first whether a real part or tool does this",
          {},
          {word_from("key", WordsFrom::kKeyPath, "the key's full path, such as measured.spread"),
           word_from("value", WordsFrom::kValueText, "the new value, written as in the case")}};
}

class SetValue final : public Remedy {
 public:
  SetValue() : Remedy(its_row()) {}

  void read_rest(const ChangeReader& r, const case_file::Node& node, Change& c) const override {
    const auto key = c.choices.find("key");
    const case_file::Node* value = node.find("value");
    if (key == c.choices.end() || value == nullptr) return;
    const case_file::SourceRules origin{&r.file, false, ""};
    if (!case_file::is_known_path(key->second)) {
      case_file::add_unknown_key(key->second, node.find("key")->line, origin, r.problems);
      return;
    }
    case_file::Values values;
    case_file::read_value(key->second, *value, origin, values, r.problems);
    c.quantities.insert(values.quantities.begin(), values.quantities.end());
    c.choices.insert(values.choices.begin(), values.choices.end());
    c.point_lists.insert(values.point_lists.begin(), values.point_lists.end());
  }

  std::vector<Claim> claims(const Change& c) const override { return {{c.word("key"), c.word("key")}}; }

  void replace_values(CaseDescription& d, const Change& c) const override { put_values(d, c); }

  std::string hand(const Hand& h) const override { return "set " + h.word("key") + " otherwise"; }

  void fill(Work& m) const override {
    m.mark_bought_amounts();
    if (m.marks.empty())
      for (const auto& [name, q] : m.c.quantities)
        m.mark(plain_key(name), q.value, mark_unit_of(q.dimension), 2, "as the case sets it", name);
    if (m.marks.empty()) m.mark_balance_weight();
    m.step("No tool or part stands behind this change: find out first what does it, and write it down here.");
    m.step("Measure afterwards what was set, at the place the table names.");
    m.tool("as the work needs");
  }
};

}  // namespace

const Remedy& set_value() {
  static const SetValue the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies

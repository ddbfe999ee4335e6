// part: another part from the part files.
#include "models/remedies/part.h"

#include <fmt/format.h>

#include "models/case_file/library.h"
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
  return {
      "part",
      10,
      "another part from the part files",
      "every dimension, mass and spring of the part; its weight and the friction of its centres where the "
      "part file gives them, else what the case measured on the old part is kept",
      {"levers, weights and regulation all move at once"},
      "partly",
      kUndoneWithWork,
      {"note", 16, 60},
      "several hundred parts to buy and fit; no way back once they are glued",
      {"thin glue", "dust"},
      {word_from("slot", WordsFrom::kSlot, "which part"),
       word_from("id", WordsFrom::kPartId, "file name of the new part")},
      false,
      true};
}

class Part final : public Remedy {
 public:
  Part() : Remedy(its_row()) {}

  void read_rest(const ChangeReader& reader, const case_file::Node& node, Change& c) const override {
    read_library_values(reader, node, true, c.word("slot"), c);
  }

  std::vector<Claim> claims(const Change& c) const override {
    return {{"part " + c.word("slot"), "which " + c.word("slot") + " is in"}};
  }

  std::string excludes(const Change& c, const Change& other) const override {
    if (other.remedy != &set_value() || other.word("key") != "parts." + c.word("slot")) return "";
    return "both name the part";
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    clear_section(d, c.choices.at("slot"));
    d.choices["parts." + c.choices.at("slot")] = c.choices.at("id");
    put_values(d, c);
    for (const auto& [own, measured] : own_values())
      if (c.has(own)) {
        d.quantities[measured] = c.quantities.at(own);
        if (measured == "measured.hanging_distance" || measured == "measured.knuckle_diameter")
          d.quantities.erase("measured.knuckle_arm");  // it was the old knuckle's
      }
  }

  bool is_set_by_hand(const case_file::Quantity& q) const override {
    return Remedy::is_set_by_hand(q) && is_measured_on_a_part(q.dimension);
  }

  std::string hand(const Hand& h) const override {
    return "fit " + h.word("slot") + " \"" + h.word("id") + "\"";
  }

  void fill(Work& m) const override {
    m.step(fmt::format(
        "Take one {} \"{}\" and measure it by the table before the set is ordered or glued: a part "
        "outside a tolerance does not do what was computed.",
        m.word("slot"), m.word("id")));
    m.step("Fit it on the trial note with what belongs to it, square and centred.");
    m.mark_bought_amounts();
    if (m.marks.empty()) m.mark_balance_weight();
    m.tool("calliper, square, scale, friction gauge");
  }
};

}  // namespace

const Remedy& part() {
  static const Part the_remedy;
  return the_remedy;
}

const std::vector<std::pair<std::string, std::string>>& own_values() {
  static const std::vector<std::pair<std::string, std::string>> list = {
      {"wippen.weight", "measured.wippen_weight"},
      {"wippen.centre_friction", "friction.wippen_centre"},
      {"wippen.jack_friction", "friction.jack_centre"},
      {"wippen.lever_friction", "friction.lever_centre"},
      {"hammer.weight", "measured.strike_weight"},
      {"hammer.centre_friction", "friction.hammer_centre"},
      {"hammer.hanging_distance", "measured.hanging_distance"},
      {"hammer.knuckle_diameter", "measured.knuckle_diameter"},
      {"hammer.length", "measured.hammer_length"},
      {"hammer.bore", "measured.bore"},
  };
  return list;
}

bool is_measured_on_a_part(case_file::Dimension d) {
  using case_file::Dimension;
  return d == Dimension::kLength || d == Dimension::kAngle || d == Dimension::kWeight ||
         d == Dimension::kTorque || d == Dimension::kNumber;
}

Change read_part_change(const std::string& models_directory, const std::string& slot, const std::string& id) {
  case_file::Values values = case_file::read_whole_part(models_directory, slot, id);
  Change change;
  change.remedy = &part();
  change.choices = std::move(values.choices);
  change.choices["slot"] = slot;
  change.choices["id"] = id;
  change.quantities = std::move(values.quantities);
  change.point_lists = std::move(values.point_lists);
  return change;
}

}  // namespace leverwright::remedies

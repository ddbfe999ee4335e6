// One quantity asked of every verb that knows it: each gives the same digits.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

using Json = nlohmann::json;

// The sought heel with its punching in the model (the key then rests on two heights) and one search.
std::string case_text(const std::string& punching) {
  std::string text = read_text("cases/sought_heel/case.toml");
  const std::size_t second = text.find("[[seek]]", text.find("[[seek]]") + 1);
  text.resize(second);
  text.insert(text.find("[[set_up]]"), "[options]\nbalance_punching = \"" + punching + "\"\n\n");
  return text;
}

double of_list(const Json& numbers, const std::string& key, const char* field) {
  for (const Json& n : numbers)
    if (n["key"] == key) return n[field].is_null() ? std::nan("") : n[field].get<double>();
  ADD_FAILURE() << "no " << key;
  return std::nan("");
}

// Value of a line of CSV that begins so, in this column.
double of_csv(const std::string& text, const std::string& begin, std::size_t column) {
  for (const std::string& line : lines_of(text)) {
    if (line.rfind(begin, 0) != 0) continue;
    std::size_t at = 0;
    for (std::size_t k = 0; k < column; ++k) at = line.find(',', at) + 1;
    return std::stod(line.substr(at));
  }
  ADD_FAILURE() << "no line " << begin;
  return std::nan("");
}

// The first number of the line of a table that begins with this name.
std::string of_table(const std::string& text, const std::string& name) {
  for (const std::string& line : lines_of(text)) {
    const std::size_t start = line.find_first_not_of(' ');
    if (start == std::string::npos || line.compare(start, name.size(), name) != 0) continue;
    const std::size_t at = line.find_first_of("-0123456789", start + name.size());
    if (at != std::string::npos) return line.substr(at, line.find(' ', at) - at);
  }
  ADD_FAILURE() << "no line " << name << " in\n" << text;
  return "";
}

struct Asked {
  const char *key, *name, *table;
  int decimals;
  double factor;  // display = SI * factor
};
constexpr double kToGf = 1 / 9.80665e-3;
constexpr Asked kAsked[] = {
    {"down_weight", "down weight", "down weight", 1, kToGf},
    {"up_weight", "up weight", "up weight", 1, kToGf},
    {"friction", "friction", "friction", 1, kToGf},
    {"mean_friction", "friction over the window (mean)", "of it mean friction", 1, kToGf},
    {"force_fall", "fall of the force curves", "of it fall of force", 1, kToGf},
    {"capstan_friction", "friction from capstan on heel", "of it at the capstan", 2, kToGf},
    {"let_off_resistance", "let-off resistance", "let-off resistance", 0, kToGf},
    {"capstan_slide", "slide of capstan on heel to let-off", "capstan slide, let-off", 2, 1e3}};

class SameDigits : public testing::TestWithParam<const char*> {};

TEST_P(SameDigits, FromEveryVerb) {
  ScratchFolder folder;
  const std::string path = folder.write("heel.toml", case_text(GetParam()));
  const std::string json = folder.path("numbers.json"), csv = folder.path("numbers.csv");
  const Ended compared = run({"compare", path, "--out", folder.path("made"), "--no-uncertainty",
                              "--no-pictures", "--no-touches", "--all", "--json", json, "--csv", csv});
  ASSERT_EQ(compared.exit_code, 0) << compared.err;
  const Json base = Json::parse(read_text(json))["set_ups"][0];
  const std::string as_csv = read_text(csv);
  const store::StudyReader study(folder.path("made/heel.h5"));
  const auto stored = study.read_numbers("/set_ups/00/numbers");

  const Ended weighed = run({"weigh", path, "--all"});
  ASSERT_EQ(weighed.exit_code, 0) << weighed.err;
  const std::string seek_csv = folder.path("seek.csv"), seek_json = folder.path("seek.json");
  ASSERT_EQ(run({"seek", path, "--csv", seek_csv, "--json", seek_json}).exit_code, 0);
  const std::string sought_csv = read_text(seek_csv);
  const Json sought = Json::parse(read_text(seek_json))["seeks"][0]["numbers"];
  const std::string parts_json = folder.path("parts.json");
  const Ended parts =
      run({"parts", path, "capstan", "capstan_small_dome", "capstan_domed", "--json", parts_json});
  ASSERT_EQ(parts.exit_code, 0) << parts.err;
  const Json part_a = Json::parse(read_text(parts_json))["a"]["numbers"];  // the case's own capstan

  for (const Asked& q : kAsked) {
    SCOPED_TRACE(q.key);
    const auto shown = [&](double value) { return fmt::format("{:.{}f}", value, q.decimals); };
    const std::string expected = shown(of_list(base["numbers"], q.key, "value"));
    EXPECT_EQ(of_table(compared.out, q.table), expected) << "compare, table";
    EXPECT_EQ(shown(of_csv(as_csv, fmt::format("as found,measure,{},", q.key), 5)), expected)
        << "compare, CSV";
    bool found = false;
    for (const auto& n : stored)
      if (n.name == q.name) {
        found = true;
        EXPECT_EQ(shown(n.value * q.factor), expected) << "results file";
      }
    EXPECT_TRUE(found) << "results file";
    if (std::string(q.key) != "capstan_friction" && std::string(q.key) != "capstan_slide") {
      EXPECT_EQ(of_table(weighed.out, q.name), expected) << "weigh";
    }
    EXPECT_EQ(shown(of_list(sought, q.key, "base")), expected) << "seek, JSON";
    EXPECT_EQ(shown(of_csv(sought_csv, fmt::format("contact on the line,number,{},", q.key), 4)), expected)
        << "seek, CSV";
    EXPECT_EQ(shown(part_a[q.key]["value"].get<double>()), expected) << "parts";
  }
  // The order for a set-up predicts the weights compare has (no reading as found in this case, so nothing is measured
  // plus change).
  const Json after = Json::parse(read_text(json))["set_ups"][1];
  const std::string order_json = folder.path("order.json");
  const Ended ordered = run({"order", path, after["name"].get<std::string>(), "--out", folder.path("ordered"),
                             "--json", order_json});
  ASSERT_EQ(ordered.exit_code, 0) << ordered.err;
  const Json expected_readings = Json::parse(read_text(order_json))["expected"];
  for (const char* key : {"down_weight", "up_weight"}) {
    const std::string name = std::string(key) == "down_weight" ? "down weight" : "up weight";
    bool found = false;
    for (const Json& e : expected_readings) {
      if (e["reading"] != name) continue;
      found = true;
      EXPECT_EQ(fmt::format("{:.1f}", e["predicted"].get<double>()),
                fmt::format("{:.1f}", of_list(after["numbers"], key, "value")));
    }
    EXPECT_TRUE(found) << name;
  }
  // weigh shows both of these in its own tables: rubbing by place, and slide to let-off.
  EXPECT_EQ(of_table(weighed.out, "capstan on heel cloth"),
            fmt::format("{:.2f}", of_list(base["numbers"], "capstan_friction", "value")));
  for (const char* key : {"capstan_slide", "capstan_slide_to_dip"})
    EXPECT_TRUE(has(weighed.out, fmt::format("{:.2f} mm", of_list(base["numbers"], key, "value")))) << key;
  // The key of the base rests as measured, in every verb.
  EXPECT_NEAR(of_list(sought, "key_height", "base"), 0, 5e-4);
  // What pictures draw: the means as stored.
  const auto means = study.read_series("/set_ups/00/statics/window/ledger");
  const std::size_t heel = means.find_column("capstan on heel cloth");
  ASSERT_LT(heel, means.columns);
  EXPECT_EQ(fmt::format("{:.2f}", means.at(0, heel) * kToGf),
            fmt::format("{:.2f}", of_list(base["numbers"], "capstan_friction", "value")));
}

INSTANTIATE_TEST_SUITE_P(Punching, SameDigits, testing::Values("off", "on"), [](const auto& which) {
  return std::string("Punching") + (std::string(which.param) == "on" ? "On" : "Off");
});

}  // namespace
}  // namespace leverwright::app_test

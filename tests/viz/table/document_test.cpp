// One document, three writers.
#include "viz/table/document.h"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

namespace leverwright::table {
namespace {

Document small() {
  Document d("small", 2);
  d.set("case", "a.toml");
  d.note("What was found.");
  Table& t = d.table("rows");
  t.columns = {
      {"name", "name", "name", "", 8}, {"value", "value_gf", "value", "gf", 7, 1}, {"faults", "faults"}};
  t.add({"first, with a comma", 12.345, std::vector<std::string>{"a", "b"}});
  t.add({"second", std::nan(""), std::vector<std::string>{}});
  d.details("what is behind it");
  d.note("Behind.");
  d.essentials();
  Document part;
  part.set("name", "one");
  part.note("Of the part.");
  d.add_to("parts", part);
  d.add_to("parts", Document());
  return d;
}

TEST(Document, TheTerminalShowsDetailsWhenAskedAndElseNamesThem) {
  const std::string brief = write_terminal(small(), {}, false), all = write_terminal(small(), {}, true);
  EXPECT_NE(brief.find("12.3"), std::string::npos) << brief;
  EXPECT_EQ(brief.find("12.34"), std::string::npos) << "digits as the column says";
  EXPECT_NE(brief.find("Of the part."), std::string::npos);
  EXPECT_EQ(brief.find("Behind."), std::string::npos);
  EXPECT_NE(brief.find("With --all: what is behind it."), std::string::npos);
  EXPECT_NE(all.find("Behind."), std::string::npos);
  EXPECT_EQ(all.find("With --all"), std::string::npos);
  EXPECT_EQ(all.find("faults"), std::string::npos) << "a column without a width is not shown";
}

TEST(Document, JsonHoldsEveryDigitInTheOrderOfTheDocument) {
  const auto j = nlohmann::ordered_json::parse(write_json(small()));
  std::vector<std::string> keys;
  for (const auto& [key, unused] : j.items()) keys.push_back(key);
  EXPECT_EQ(keys, (std::vector<std::string>{"format", "format_version", "software_version", "case", "rows",
                                            "parts"}));
  EXPECT_EQ(j["format"], "leverwright small");
  EXPECT_EQ(j["format_version"], 2);
  EXPECT_EQ(j["rows"][0]["value"], 12.345);
  EXPECT_TRUE(j["rows"][1]["value"].is_null());
  EXPECT_EQ(j["rows"][0]["faults"].size(), 2u);
  ASSERT_EQ(j["parts"].size(), 2u);
  EXPECT_EQ(j["parts"][0]["name"], "one");
}

TEST(Document, CsvHasOneHeadAndQuotesWhatNeedsIt) {
  EXPECT_EQ(write_csv(small()), "name,value_gf,faults\n\"first, with a comma\",12.345,a; b\nsecond,,\n");
}

}  // namespace
}  // namespace leverwright::table

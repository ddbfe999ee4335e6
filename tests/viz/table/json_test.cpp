#include "viz/table/json.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

namespace leverwright::table {
namespace {

TEST(Json, IsReadBackAsItWasBuilt) {
  Json out{{"zebra", "a"}, {"count", std::size_t{3}}, {"below", -2}, {"share", 0.125}, {"yes", true}};
  out["list"] = std::vector<std::string>{"one", "two"};
  out["nested"]["deep"] = Json{{"none", nullptr}};
  out["rows"].push_back(Json{{"k", 1}});
  out["rows"].back()["k"] = 2;
  out["zebra"] = "again";  // keeps its place
  const auto read = nlohmann::ordered_json::parse(out.dump(2));
  EXPECT_EQ(read.dump(), R"({"zebra":"again","count":3,"below":-2,"share":0.125,"yes":true,)"
                         R"("list":["one","two"],"nested":{"deep":{"none":null}},"rows":[{"k":2}]})");
}

TEST(Json, EveryNumberSurvives) {
  Json list = Json::array();
  const std::vector<double> values{0.1, -1.0 / 3, 1e-300, 6.02214076e23, 5.0};
  for (const double v : values) list.push_back(v);
  list.push_back(std::numeric_limits<std::uint64_t>::max());
  list.push_back(std::numeric_limits<std::int64_t>::min());
  const auto read = nlohmann::json::parse(list.dump(0));
  for (std::size_t k = 0; k < values.size(); ++k) EXPECT_EQ(read[k].get<double>(), values[k]);
  EXPECT_EQ(read[5].get<std::uint64_t>(), std::numeric_limits<std::uint64_t>::max());
  EXPECT_EQ(read[6].get<std::int64_t>(), std::numeric_limits<std::int64_t>::min());
}

TEST(Json, WhatIsNotFiniteBecomesNull) {
  const Json out{{"nan", NAN}, {"inf", -INFINITY}};
  const auto read = nlohmann::json::parse(out.dump(0));
  EXPECT_TRUE(read["nan"].is_null());
  EXPECT_TRUE(read["inf"].is_null());
}

TEST(Json, TextIsEscapedAndMended) {
  const Json out{{"text", "a \"quote\"\n\x01"}, {"umlaut", "\xc3\xa4"}, {"broken", "\xc3("}};
  const auto read = nlohmann::json::parse(out.dump(0));
  EXPECT_EQ(read["text"], "a \"quote\"\n\x01");
  EXPECT_EQ(read["umlaut"], "\xc3\xa4");
  EXPECT_EQ(read["broken"], "\xef\xbf\xbd(");
}

TEST(Json, EmptyListsAndObjectsStayWhatTheyAre) {
  const Json out{{"list", Json::array()}, {"object", Json::object()}, {"nothing", Json()}};
  EXPECT_EQ(nlohmann::ordered_json::parse(out.dump(1)).dump(), R"({"list":[],"object":{},"nothing":null})");
}

TEST(Json, MisuseIsToldNotWritten) {
  Json text = "a";
  EXPECT_THROW(text.push_back(1), std::logic_error);
  EXPECT_THROW(text["key"], std::logic_error);
  EXPECT_THROW(Json::array().back(), std::logic_error);
}

}  // namespace
}  // namespace leverwright::table

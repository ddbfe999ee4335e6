// What is written is read back, bit for bit, whatever the sizes and texts.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstring>

#include "sim/base/shown_text.h"
#include "sim/base/units.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"
#include "tests/support/read_text.h"

namespace leverwright::store {
namespace {

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

TEST(RoundTrip, HeaderAndSetUps) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const StudyReader reader(folder.path("a.h5"));
  EXPECT_EQ(reader.status(), "complete");
  const StudyHeader header = reader.header(), wrote = small_header();
  EXPECT_EQ(header.case_text, wrote.case_text);
  EXPECT_EQ(header.case_path, wrote.case_path);
  EXPECT_EQ(header.created, wrote.created);
  EXPECT_EQ(header.software_version, wrote.software_version);
  ASSERT_EQ(header.files.size(), 2u);
  EXPECT_EQ(header.files[1].path, "models/parts/capstan.toml");
  EXPECT_EQ(header.files[1].text, wrote.files[1].text);
  const auto set_ups = reader.set_ups();
  ASSERT_EQ(set_ups.size(), 3u);
  EXPECT_EQ(set_ups[1].path, "/set_ups/01");
  EXPECT_EQ(set_ups[1].name, "heel build-up");
  EXPECT_EQ(set_ups[1].status, "complete");
  EXPECT_EQ(set_ups[2].status, "failed");
  EXPECT_EQ(set_ups[2].reason, "no capstan height gives the blow: 3.1 mm of thread missing");
}

TEST(RoundTrip, NumbersTable) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const StudyReader reader(folder.path("a.h5"));
  const Number down = reader.read_number("/set_ups/01/numbers", "down weight");
  EXPECT_EQ(down.value, 0.481 - 0.021);
  EXPECT_EQ(down.sigma, 0.013);
  EXPECT_EQ(down.change_against_base, -0.021);
  EXPECT_EQ(down.sigma_of_change, 0.004);
  EXPECT_EQ(down.verdict, "better");
  EXPECT_NEAR(down.displayed(), 0.460 / base::kGramForce, 1e-9);  // rounding of one product
  EXPECT_TRUE(std::isnan(reader.read_number("/set_ups/01/numbers", "dip").sigma));
  const Table screws = reader.read_table("/set_ups/01/screws");
  ASSERT_NE(screws.find("turns_against_base"), nullptr);
  EXPECT_EQ(screws.find("turns_against_base")->numbers, (std::vector<double>{0.75 - 0.021, -0.2}));
  EXPECT_EQ(screws.find("thread_left")->meta.display_unit, "mm");
  EXPECT_EQ(screws.columns.front().name, "name");
}

TEST(RoundTrip, MetaAndColumns) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const StudyReader reader(folder.path("a.h5"));
  const Series ledger = reader.read_series("/set_ups/00/statics/down/ledger");
  EXPECT_EQ(ledger.rows, 4u);
  EXPECT_EQ(ledger.columns, 3u);
  EXPECT_EQ(ledger.find_column("key bushing"), 2u);
  EXPECT_EQ(ledger.find_column("damper"), 3u);
  EXPECT_EQ(ledger.column(2)[3], 0.02 + 0.013 * 2 + 0.7 * 9.7e-3);
  EXPECT_EQ(ledger.meta.unit, "N");
  EXPECT_NEAR(ledger.meta.display_factor, 1 / base::kGramForce, 1e-12);
  const Series rest = reader.read_series("/set_ups/00/scene/positions/rest");
  EXPECT_EQ(rest.names.units, (std::vector<std::string>{"m", "m", "rad"}));
  const std::vector<double> shown = rest.displayed();
  EXPECT_NEAR(shown[3], 217, 1e-9);
  EXPECT_NEAR(shown[5], -0.08 * 180 / base::kPi, 1e-12);
  const Series open = reader.read_series("/set_ups/00/slide/capstan_heel/normal_force");
  EXPECT_TRUE(open.meta.may_be_unknown);
  EXPECT_TRUE(std::isnan(open.values[2]));
  EXPECT_FALSE(reader.read_meta("/set_ups/00/slide/capstan_heel/slide").may_be_unknown);
  EXPECT_EQ(reader.number_attribute("/set_ups/00/scene/bodies/wippen", "order"), 1);
}

// Sizes on both sides of the limit above which series are stored in compressed chunks.
TEST(RoundTrip, CompressedSeriesKeepTheirBits) {
  const support::ScratchFolder folder;
  const std::size_t columns = 7;
  for (const std::size_t rows : {9361u, 9363u, 30000u}) {
    std::vector<double> values(rows * columns);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = std::sin(1e-3 * static_cast<double>(i)) / 3;
    StudyWriter writer(folder.path("big.h5"), small_header());
    writer.write_series("/extra", "motion", values, columns, make_meta("rad", "deg", "W", "motion"));
    writer.write_series("/extra", "flat", values, make_meta("rad", "deg", "W", "the same in one column"));
    writer.finish();
    const StudyReader reader(folder.path("big.h5"));
    EXPECT_TRUE(same_bits(reader.read_series("/extra/motion").values, values)) << rows;
    EXPECT_TRUE(same_bits(reader.read_series("/extra/flat").values, values)) << rows;
    EXPECT_EQ(reader.read_series("/extra/motion").rows, rows);
  }
  // Smooth data shrinks: 30000 x 7 x 8 bytes, twice.
  EXPECT_LT(std::filesystem::file_size(folder.path("big.h5")), 2u * 30000 * 7 * 8 * 95 / 100);
}

TEST(RoundTrip, SameContentSameBytes) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  write_small_study(folder.path("b.h5"));
  EXPECT_EQ(support::read_text(folder.path("a.h5")), support::read_text(folder.path("b.h5")));
}

RC_GTEST_PROP(RoundTripProperty, AnySeries, (const std::vector<double>& values, unsigned columns_seed)) {
  const support::ScratchFolder folder;
  const std::size_t columns = 1 + columns_seed % 5;
  std::vector<double> filled(values);
  filled.resize((values.size() + columns - 1) / columns * columns, -0.0);
  {
    StudyWriter writer(folder.path("p.h5"), small_header());
    writer.write_series("/any/where", "one", values, make_meta_unknown_allowed("s", "ms", "none", "any"));
    writer.write_series("/any/where", "two", filled, columns, make_meta("J", "mJ", "none", "any"));
    writer.finish();
  }
  const StudyReader reader(folder.path("p.h5"));
  RC_ASSERT(same_bits(reader.read_series("/any/where/one").values, values));
  const Series two = reader.read_series("/any/where/two");
  RC_ASSERT(same_bits(two.values, filled));
  RC_ASSERT(two.columns == columns && two.rows == filled.size() / columns && two.is_matrix);
}

// Texts without a zero byte, which no text file holds.
RC_GTEST_PROP(RoundTripProperty, AnyText, ()) {
  const auto letters = rc::gen::container<std::string>(rc::gen::nonZero<char>());
  const auto texts = *rc::gen::container<std::vector<std::string>>(letters);
  const auto text = *letters;
  const support::ScratchFolder folder;
  {
    StudyHeader header = small_header();
    header.case_text = text;
    StudyWriter writer(folder.path("p.h5"), header);
    writer.write_strings("/set_ups", "warnings", texts, "any");
    writer.write_attribute("/set_ups", "note", text);
    writer.write_attribute("/set_ups", "notes", texts);
    writer.finish();
  }
  const StudyReader reader(folder.path("p.h5"));
  RC_ASSERT(reader.header().case_text == text);
  // All but the case's own text with control characters and broken letters written out.
  std::vector<std::string> shown;
  for (const std::string& one : texts) shown.push_back(base::shown_text(one));
  RC_ASSERT(reader.read_strings("/set_ups/warnings") == shown);
  RC_ASSERT(reader.text_attribute("/set_ups", "note") == base::shown_text(text));
  RC_ASSERT(reader.texts_attribute("/set_ups", "notes") == shown);
}

RC_GTEST_PROP(RoundTripProperty, AnyNumbers, (const std::vector<std::pair<double, double>>& pairs)) {
  const support::ScratchFolder folder;
  std::vector<Number> numbers;
  for (const auto& [value, sigma] : pairs)
    numbers.push_back({"row " + std::to_string(numbers.size()), value, "N m", "gf mm", sigma, -value});
  {
    StudyWriter writer(folder.path("p.h5"), small_header());
    writer.write_numbers("/", "numbers", numbers, "any");
    writer.finish();
  }
  const auto read = StudyReader(folder.path("p.h5")).read_numbers("/numbers");
  RC_ASSERT(read.size() == numbers.size());
  for (std::size_t i = 0; i < read.size(); ++i) {
    RC_ASSERT(read[i].name == numbers[i].name);
    RC_ASSERT(same_bits({read[i].value, read[i].sigma, read[i].change_against_base},
                        {numbers[i].value, numbers[i].sigma, numbers[i].change_against_base}));
  }
}

}  // namespace
}  // namespace leverwright::store

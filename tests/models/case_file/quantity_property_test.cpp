// Properties over random texts and values.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <cmath>

#include "models/case_file/quantity.h"
#include "models/case_file/read_case.h"
#include "models/case_file/units.h"
#include "sim/base/error.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

const std::vector<Dimension>& dimensions() {
  static const std::vector<Dimension> all = [] {
    std::vector<Dimension> list;
    for (int i = 0; i <= static_cast<int>(Dimension::kCount); ++i) list.push_back(static_cast<Dimension>(i));
    return list;
  }();
  return all;
}

double some_number(double low, double high) {
  return low + (high - low) * *rc::gen::inRange(0, 1000001) / 1e6;
}

#define EXPECT_HOLDS(name, body) EXPECT_TRUE(rc::check(name, body))

TEST(QuantityProperties, what_is_written_reads_back_the_same) {
  EXPECT_HOLDS("write then read", [] {
    Quantity q;
    q.dimension = *rc::gen::elementOf(dimensions());
    RC_PRE(q.dimension != Dimension::kCount);
    const double scale = trade_unit_in_si(q.dimension);
    q.value = scale * some_number(-300, 300);
    q.knowledge = *rc::gen::element(Knowledge::kMeasured, Knowledge::kEstimate, Knowledge::kExact);
    if (q.knowledge == Knowledge::kMeasured) q.sigma = scale * some_number(1e-4, 20);
    if (q.knowledge == Knowledge::kEstimate) {
      q.low = q.value - scale * some_number(1e-3, 20);
      q.high = q.value + scale * some_number(1e-3, 20);
      q.sigma = (q.high - q.low) / std::sqrt(12.0);
    }
    const QuantityResult result = read_quantity(write_quantity(q), q.dimension, "7 %");
    RC_ASSERT(std::holds_alternative<Quantity>(result));
    const Quantity& back = std::get<Quantity>(result);
    RC_ASSERT(back.knowledge == q.knowledge);
    RC_ASSERT(std::abs(back.value - q.value) <= 1e-11 * std::abs(q.value));
    RC_ASSERT(std::abs(back.sigma - q.sigma) <= 1e-9 * q.sigma + 1e-11 * std::abs(q.value));
  });
}

TEST(QuantityProperties, a_unit_of_another_dimension_is_never_accepted) {
  EXPECT_HOLDS("wrong dimension", [] {
    const Dimension due = *rc::gen::elementOf(dimensions());
    const Unit unit = *rc::gen::elementOf(unit_table());
    RC_PRE(unit.dimension != due);
    const std::string text = fmt::format("{:.3f} {}", some_number(0, 99), unit.word);
    RC_ASSERT(std::holds_alternative<QuantityFault>(read_quantity(text, due)));
  });
}

TEST(QuantityProperties, every_unit_of_the_dimension_scales_by_its_factor) {
  EXPECT_HOLDS("unit factor", [] {
    const Unit unit = *rc::gen::elementOf(unit_table());
    const double number = some_number(-99, 99);
    const QuantityResult result = read_quantity(fmt::format("{} {}", number, unit.word), unit.dimension);
    RC_ASSERT(std::holds_alternative<Quantity>(result));
    RC_ASSERT(std::abs(std::get<Quantity>(result).value - number * unit.si) <=
              1e-14 * std::abs(number * unit.si));
  });
}

// Texts made of the grammar's own pieces come closer to its corners than random bytes.
TEST(QuantityProperties, any_text_is_read_or_refused_with_words) {
  const std::vector<std::string> pieces = {"1",
                                           "66.5",
                                           "-",
                                           "+",
                                           "+-",
                                           "\u00b1",
                                           "(",
                                           ")",
                                           "to",
                                           "at",
                                           "mm",
                                           "gf",
                                           "g",
                                           "N m",
                                           " ",
                                           "  ",
                                           ",",
                                           ".",
                                           "e9",
                                           "nan",
                                           "%",
                                           "inf",
                                           "0",
                                           "1e999",
                                           "\t",
                                           "\u2212",
                                           "\u00b0",
                                           "/",
                                           "N",
                                           "\xff",
                                           "0.22 (0.15 to 0.3)"};
  EXPECT_HOLDS("any text", [&] {
    const auto words = *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(pieces));
    std::string text;
    for (const std::string& word : words) text += word;
    const Dimension due = *rc::gen::elementOf(dimensions());
    const QuantityResult result = read_quantity(text, due, "10 %");
    if (const auto* fault = std::get_if<QuantityFault>(&result)) {
      RC_ASSERT(!fault->what.empty());
    } else {
      const Quantity& q = std::get<Quantity>(result);
      RC_ASSERT(std::isfinite(q.value) && std::isfinite(q.sigma) && q.sigma >= 0);
      if (q.knowledge == Knowledge::kEstimate)
        RC_ASSERT(q.low < q.high && q.low <= q.value && q.value <= q.high);
    }
  });
}

TEST(QuantityProperties, any_bytes_are_read_or_refused_with_words) {
  EXPECT_HOLDS("any bytes", [] {
    const auto text = *rc::gen::arbitrary<std::string>();
    const QuantityResult result = read_quantity(text, *rc::gen::elementOf(dimensions()), "10 %", "");
    if (const auto* fault = std::get_if<QuantityFault>(&result)) RC_ASSERT(!fault->what.empty());
  });
}

// A good case with a few bytes exchanged, removed or doubled is read, or refused with a place and words.
TEST(CaseProperties, a_damaged_case_never_crashes_the_reader) {
  const std::string good = case_test::good_text();
  EXPECT_HOLDS("damaged case", [&] {
    std::string text = good;
    const int damages = *rc::gen::inRange(1, 4);
    for (int i = 0; i < damages; ++i) {
      const auto at = static_cast<std::size_t>(*rc::gen::inRange<int>(0, static_cast<int>(text.size()) - 1));
      switch (*rc::gen::inRange(0, 4)) {
        case 0:
          text.erase(at, static_cast<std::size_t>(*rc::gen::inRange(1, 40)));
          break;
        case 1:
          text[at] = *rc::gen::arbitrary<char>();
          break;
        case 2:
          text.insert(at, *rc::gen::elementOf(std::vector<std::string>{"[", "]", "\"", "\n", "=", "{", "}",
                                                                       "[=]", "''", "nan", "#"}));
          break;
        default:
          text.insert(at, text.substr(at, 60));
          break;
      }
    }
    try {
      case_test::read_case_text(text);
    } catch (const base::UserError& error) {
      RC_ASSERT(!error.problems().empty());
      for (const base::Problem& p : error.problems()) RC_ASSERT(!p.what.empty() && !p.file.empty());
    }
  });
}

}  // namespace
}  // namespace leverwright::case_file

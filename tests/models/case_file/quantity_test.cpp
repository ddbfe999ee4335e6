#include "models/case_file/quantity.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::case_file {
namespace {

Quantity good(const std::string& text, Dimension d, const std::string& sigma = "",
              const std::string& range = "") {
  const QuantityResult result = read_quantity(text, d, sigma, range);
  if (const auto* fault = std::get_if<QuantityFault>(&result)) {
    ADD_FAILURE() << text << ": " << fault->what;
    return {};
  }
  return std::get<Quantity>(result);
}

std::string fault(const std::string& text, Dimension d, const std::string& range = "") {
  const QuantityResult result = read_quantity(text, d, "", range);
  if (const auto* f = std::get_if<QuantityFault>(&result))
    return f->what + " | " + f->expected + " | " + f->advice;
  return "accepted";
}

void expect_fault(const std::string& text, Dimension d, const std::string& phrase,
                  const std::string& range = "") {
  EXPECT_NE(fault(text, d, range).find(phrase), std::string::npos) << text << ": " << fault(text, d, range);
}

TEST(Quantity, every_way_to_write_an_uncertainty) {
  for (const char* text : {"66.5 mm +- 0.5 mm", "66.5 +- 0.5 mm", "66.5mm+-0.5mm", "  66.5 mm  +-  0.5  ",
                           "66.5 mm \u00b1 0.5 mm", "66.5 mm +/- 0.5 mm", "6.65 cm +- 0.5 mm",
                           "0.0665 m +- 0.05 cm", "+66.5 mm +- 0.5 mm"}) {
    const Quantity q = good(text, Dimension::kLength);
    EXPECT_NEAR(q.value, 0.0665, 1e-15) << text;
    EXPECT_NEAR(q.sigma, 0.0005, 1e-15) << text;
    EXPECT_EQ(q.knowledge, Knowledge::kMeasured) << text;
  }
}

TEST(Quantity, shares_and_exact_values) {
  EXPECT_NEAR(good("66.5 mm +- 2 %", Dimension::kLength).sigma, 0.00133, 1e-15);
  const Quantity exact = good("66.5 mm +- 0", Dimension::kLength, "0.5 mm");
  EXPECT_EQ(exact.knowledge, Knowledge::kExact);
  EXPECT_EQ(exact.sigma, 0);
}

TEST(Quantity, usual_uncertainty_where_none_is_written) {
  EXPECT_NEAR(good("66.5 mm", Dimension::kLength, "0.5 mm").sigma, 0.0005, 1e-15);
  EXPECT_NEAR(good("-4 deg", Dimension::kAngle, "10 %").sigma, 0.4 * 3.14159265358979 / 180, 1e-12);
  EXPECT_EQ(good("66.5 mm", Dimension::kLength).knowledge, Knowledge::kExact);
  // "0.5 gf at 23 mm" is the usual uncertainty of a torque, at whatever radius the reading was taken.
  EXPECT_NEAR(good("2 gf at 46 mm", Dimension::kTorque, "0.5 gf at 23 mm").sigma, 0.5 * 9.80665e-3 * 0.023,
              1e-15);
}

TEST(Quantity, estimates_are_uniform_over_their_range) {
  const Quantity bare = good("0.15 to 0.3", Dimension::kNumber);
  EXPECT_EQ(bare.knowledge, Knowledge::kEstimate);
  EXPECT_DOUBLE_EQ(bare.value, 0.225);
  EXPECT_NEAR(bare.sigma, 0.15 / std::sqrt(12.0), 1e-15);
  const Quantity nominal = good("3.5 mm (3 to 4.4 mm)", Dimension::kLength, "0.1 mm");
  EXPECT_NEAR(nominal.value, 0.0035, 1e-15);
  EXPECT_NEAR(nominal.low, 0.003, 1e-15);
  EXPECT_NEAR(nominal.high, 0.0044, 1e-15);
  EXPECT_NEAR(nominal.sigma, 0.0014 / std::sqrt(12.0), 1e-15);
  const Quantity below_zero = good("-5 deg to -2 deg", Dimension::kAngle);
  EXPECT_NEAR(below_zero.value, -3.5 * 3.14159265358979 / 180, 1e-12);
}

TEST(Quantity, torques_by_radius_or_as_such) {
  const Quantity gauge = good("3 gf +- 0.5 gf at 23 mm", Dimension::kTorque);
  EXPECT_NEAR(gauge.value, 3 * 9.80665e-3 * 0.023, 1e-15);
  EXPECT_NEAR(gauge.sigma, 0.5 * 9.80665e-3 * 0.023, 1e-15);
  EXPECT_NEAR(good("6.76658850e-4 N m", Dimension::kTorque).value, gauge.value, 1e-12);
  EXPECT_NEAR(good("69 gf mm", Dimension::kTorque).value, gauge.value, 1e-15);
  const Quantity range = good("2 to 5 gf at 23 mm", Dimension::kTorque);
  EXPECT_NEAR(range.high, 5 * 9.80665e-3 * 0.023, 1e-15);
  EXPECT_EQ(range.knowledge, Knowledge::kEstimate);
}

TEST(Quantity, units_by_hand) {
  EXPECT_NEAR(good("52 gf", Dimension::kWeight).value, 0.5099458, 1e-9);
  EXPECT_NEAR(good("510 mN", Dimension::kWeight).value, 0.51, 1e-15);
  EXPECT_NEAR(good("14.2 g", Dimension::kMass).value, 0.0142, 1e-15);
  EXPECT_NEAR(good("154.1 g cm2", Dimension::kInertia).value, 1.541e-5, 1e-18);
  EXPECT_NEAR(good("154 g·mm²", Dimension::kInertia).value, 1.54e-7, 1e-18);
  EXPECT_NEAR(good("2.5 N/mm", Dimension::kStiffness).value, 2500, 1e-9);
  EXPECT_NEAR(good("0.45 g/cm³", Dimension::kDensity).value, 450, 1e-9);
  EXPECT_NEAR(good("50 mm/s", Dimension::kSpeed).value, 0.05, 1e-15);
  EXPECT_NEAR(good("12 ms", Dimension::kTime).value, 0.012, 1e-15);
  EXPECT_NEAR(good("90°", Dimension::kAngle).value, std::acos(0.0), 1e-12);
  EXPECT_NEAR(good("12 Nm", Dimension::kTorque).value, 12, 1e-12);
  EXPECT_NEAR(good("0.02 N m/rad", Dimension::kAngularStiffness).value, 0.02, 1e-15);
  EXPECT_NEAR(good("2e-6 N m s/rad", Dimension::kAngularDamping).value, 2e-6, 1e-18);
  EXPECT_NEAR(good("\u22123 mm", Dimension::kLength).value, -0.003, 1e-15);
  EXPECT_EQ(good("40", Dimension::kCount).value, 40);
}

TEST(Quantity, mass_and_weight_are_never_exchanged) {
  expect_fault("10.4 g", Dimension::kWeight, "g is a mass, but this is a scale reading");
  expect_fault("10.4 g", Dimension::kWeight, "write gf");
  expect_fault("10.4 kg", Dimension::kWeight, "kg is a mass");
  expect_fault("14 gf", Dimension::kMass, "gf is a force, but this is a mass");
  expect_fault("14 N", Dimension::kMass, "write g");
  expect_fault("3 g at 23 mm", Dimension::kTorque, "g is a mass");
  expect_fault("3 g", Dimension::kTorque, "write gf and the radius");
}

TEST(Quantity, faults_say_what_to_do) {
  expect_fault("3 gf", Dimension::kTorque, "without its radius");
  expect_fault("3 gf", Dimension::kTorque, "at 23 mm");
  expect_fault("3 gf at 23", Dimension::kTorque, "the unit is missing");
  expect_fault("3 gf at 23 gf", Dimension::kTorque, "must be a length");
  expect_fault("3 gf at -23 mm", Dimension::kTorque, "not above zero");
  expect_fault("3 mm at 23 mm", Dimension::kLength, "only a friction torque");
  expect_fault("66,5 mm", Dimension::kLength, "decimal comma");
  expect_fault("66.5 mm +- 0,5 mm", Dimension::kLength, "decimal comma");
  expect_fault("66.5", Dimension::kLength, "the unit is missing");
  expect_fault("66.5 inches", Dimension::kLength, "25.4 mm");
  expect_fault("66.5 MM", Dimension::kLength, "write mm");
  expect_fault("66.5 parsec", Dimension::kLength, "unknown unit");
  expect_fault("66.5 deg", Dimension::kLength, "deg is an angle, but this must be a length");
  expect_fault("0.2 mm", Dimension::kNumber, "this is a plain number");
  expect_fault("0.2 %", Dimension::kNumber, "this is a plain number");
  expect_fault("", Dimension::kLength, "the value is empty");
  expect_fault("   ", Dimension::kLength, "the value is empty");
  expect_fault("mm", Dimension::kLength, "does not begin with a number");
  expect_fault("nan", Dimension::kNumber, "not a finite number");
  expect_fault("-inf mm", Dimension::kLength, "not a finite number");
  expect_fault("1e400 mm", Dimension::kLength, "cannot be held");
  expect_fault("66.5 mm +- nan mm", Dimension::kLength, "not a finite number");
  expect_fault("66.5 mm +- -0.5 mm", Dimension::kLength, "negative");
  expect_fault("66.5 mm +-", Dimension::kLength, "a number is missing");
  expect_fault("66.5 mm +- 0.5 mm +- 0.2 mm", Dimension::kLength, "mixes");
  expect_fault("0 mm +- 5 %", Dimension::kLength, "share of zero");
  expect_fault("66.5-0.5 mm", Dimension::kLength, "\"+-\"");
  expect_fault("0.3 to 0.15", Dimension::kNumber, "does not rise");
  expect_fault("0.4 (0.15 to 0.3)", Dimension::kNumber, "outside its own range");
  expect_fault("0.2 (0.15)", Dimension::kNumber, "holds no range");
  expect_fault("0.2 (0.15 to 0.3", Dimension::kNumber, "not closed");
  expect_fault("12.5", Dimension::kCount, "not a whole number");
  expect_fault("12 +- 1", Dimension::kCount, "not a whole number");
}

TEST(Quantity, plausible_ranges) {
  expect_fault("-3 mm", Dimension::kLength, "negative, which cannot be", "0 to 10 mm");
  expect_fault("12 mm", Dimension::kLength, "outside everything plausible", "0 to 10 mm");
  expect_fault("9 mm (8 to 11 mm)", Dimension::kLength, "outside everything plausible", "0 to 10 mm");
  expect_fault("9 mm +- 11 mm", Dimension::kLength, "wider than everything plausible", "0 to 10 mm");
  EXPECT_NEAR(good("10 mm", Dimension::kLength, "", "0 to 10 mm").value, 0.01,
              1e-15);  // the ends belong to it
  EXPECT_NEAR(good("-3 gf", Dimension::kWeight, "", "-60 to 90 gf").value, -3 * 9.80665e-3, 1e-15);
}

}  // namespace
}  // namespace leverwright::case_file

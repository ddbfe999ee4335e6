#include "models/case_file/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

#include "models/case_file/units.h"
#include "sim/base/decimal.h"
#include "sim/base/units.h"

namespace leverwright::case_file {

namespace {

struct Fault : QuantityFault {};  // thrown inside this file only

[[noreturn]] void fail(std::string what, std::string expected = "", std::string advice = "") {
  throw Fault{{std::move(what), std::move(expected), std::move(advice)}};
}

constexpr const char* kMinusSign = "\xE2\x88\x92";  // U+2212, as word processors write it

std::string_view trim(std::string_view s) {
  const char* blanks = " \t\r\n";
  const std::size_t first = s.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(blanks) - first + 1);
}

std::string example_of(Dimension d) {
  switch (d) {
    case Dimension::kLength:
      return "\"66.5 mm +- 0.5 mm\"";
    case Dimension::kAngle:
      return "\"4 deg +- 0.5 deg\"";
    case Dimension::kMass:
      return "\"14.2 g +- 0.5 g\"";
    case Dimension::kWeight:
      return "\"10.4 gf +- 0.1 gf\"";
    case Dimension::kTorque:
      return "\"3 gf +- 0.5 gf at 23 mm\"";
    case Dimension::kInertia:
      return "\"154 g cm2 +- 10 %\"";
    case Dimension::kStiffness:
      return "\"2 N/mm +- 20 %\"";
    case Dimension::kAngularStiffness:
      return "\"0.02 N m/rad +- 20 %\"";
    case Dimension::kAngularDamping:
      return "\"2e-6 N m s/rad (1e-6 to 5e-6 N m s/rad)\"";
    case Dimension::kDamping:
      return "\"3 N s/m (1 to 5 N s/m)\"";
    case Dimension::kDampingTime:
      return "\"0.2 s/m (0.1 to 0.4 s/m)\"";
    case Dimension::kTime:
      return "\"12 ms +- 1 ms\"";
    case Dimension::kSpeed:
      return "\"2 m/s\"";
    case Dimension::kDensity:
      return "\"0.68 g/cm3 +- 5 %\"";
    case Dimension::kNumber:
      return "\"0.22 (0.15 to 0.3)\"";
    case Dimension::kCount:
      return "40";
  }
  return "";
}

bool is_plain(Dimension d) { return d == Dimension::kNumber || d == Dimension::kCount; }

struct Term {  // one number with the unit written behind it
  double number = 0;
  std::string unit;  // normalised; empty when none was written
};

Term read_term(std::string_view piece, std::string_view whole, Dimension d) {
  piece = trim(piece);
  if (piece.empty()) fail(fmt::format("a number is missing in \"{}\"", whole), example_of(d));
  std::string_view digits = piece;
  if (digits.front() == '+') digits.remove_prefix(1);
  Term term;
  const auto [end, error] = base::read_decimal(digits.data(), digits.data() + digits.size(), term.number);
  if (error == std::errc::result_out_of_range)
    fail(fmt::format("the number \"{}\" cannot be held", piece), example_of(d));
  if (error != std::errc()) fail(fmt::format("\"{}\" does not begin with a number", piece), example_of(d));
  if (!std::isfinite(term.number))
    fail(fmt::format("\"{}\" is not a finite number", piece), example_of(d),
         "leave the key out when it was not measured");
  std::string_view rest = digits.substr(static_cast<std::size_t>(end - digits.data()));
  if (!rest.empty() && rest.front() == ',')
    fail(fmt::format("decimal comma in \"{}\"", piece), example_of(d),
         "write a point: 66.5, and no comma between thousands");
  rest = trim(rest);
  if (!rest.empty() && (rest.front() == '-' || rest.front() == '+' || rest.front() == '.'))
    fail(fmt::format("\"{}\" is not understood", piece), example_of(d),
         "write \"+-\" for an uncertainty and \"to\" for a range");
  term.unit = normalise_unit(rest);
  return term;
}

// "g" where a weight is due and the reverse get their own words; others name both.
[[noreturn]] void fail_dimension(const Unit& unit, const std::string& written, Dimension due) {
  if (due == Dimension::kWeight && unit.dimension == Dimension::kMass)
    fail(fmt::format("{} is a mass, but this is a scale reading (a weight)", written), example_of(due),
         "write gf: a scale that shows 10.4 g reads 10.4 gf");
  if (due == Dimension::kMass && unit.dimension == Dimension::kWeight)
    fail(fmt::format("{} is a force, but this is a mass", written), example_of(due), "write g (or kg)");
  if (due == Dimension::kTorque && unit.dimension == Dimension::kWeight)
    fail(fmt::format("friction of {} without its radius", written), example_of(due),
         "say how far from the centre the gauge pulled: \"... at 23 mm\"");
  if (due == Dimension::kTorque && unit.dimension == Dimension::kMass)
    fail(fmt::format("{} is a mass, but this is a friction torque", written), example_of(due),
         "write gf and the radius: \"3 gf at 23 mm\"");
  if (is_plain(due))
    fail(fmt::format("this is a plain number, but \"{}\" was written behind it", written), example_of(due),
         "leave the unit out");
  fail(fmt::format("{} is {}, but this must be {}", written, dimension_words(unit.dimension),
                   dimension_words(due)),
       example_of(due), fmt::format("write it in {}", fmt::join(units_of(due), ", ")));
}

// SI factor of the unit word; the word must belong to the dimension.
double factor_of(const std::string& word, Dimension d) {
  if (is_plain(d)) {
    if (word.empty()) return 1;
    if (const Unit* unit = find_unit(word)) fail_dimension(*unit, word, d);
    fail(fmt::format("this is a plain number, but \"{}\" was written behind it", word), example_of(d),
         "leave the unit out");
  }
  if (word.empty())
    fail("the unit is missing", example_of(d), fmt::format("write it in {}", fmt::join(units_of(d), ", ")));
  const Unit* unit = find_unit(word);
  if (unit == nullptr) {
    std::string hint = hint_for_unit(word);
    if (hint.empty()) hint = fmt::format("write it in {}", fmt::join(units_of(d), ", "));
    fail(fmt::format("unknown unit \"{}\"", word), example_of(d), hint);
  }
  if (unit->dimension != d) fail_dimension(*unit, word, d);
  return unit->si;
}

// Position of `word` standing alone between blanks (or digits and blanks), or npos.
std::size_t find_word(std::string_view text, std::string_view word) {
  for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
    const bool before = at > 0 && (text[at - 1] == ' ' || text[at - 1] == '\t');
    const std::size_t after = at + word.size();
    const bool behind = after == text.size() || text[after] == ' ' || text[after] == '\t';
    if (before && behind) return at;
  }
  return std::string_view::npos;
}

struct Pieces {
  Term value;
  std::optional<Term> sigma;
  bool sigma_percent = false;
  std::optional<Term> low, high;
  bool nominal = true;  // a value stands before the range
};

// Splits at "+-", "(" and "to".
Pieces split(std::string_view text, std::string_view whole, Dimension d) {
  Pieces p;
  std::size_t plus_minus = text.find("+-");
  std::size_t sign_length = 2;
  for (const char* sign : {"\xC2\xB1", "+/-", "-+"}) {
    if (plus_minus != std::string_view::npos) break;
    plus_minus = text.find(sign);
    sign_length = std::string_view(sign).size();
  }
  const std::size_t bracket = text.find('(');
  if (plus_minus != std::string_view::npos) {
    const std::string_view behind = text.substr(plus_minus + sign_length);
    if (bracket != std::string_view::npos || find_word(text, "to") != std::string_view::npos ||
        behind.find("+-") != std::string_view::npos)
      fail(fmt::format("\"{}\" mixes an uncertainty with a range", whole), example_of(d),
           "give either \"+-\" (measured) or a range \"low to high\" (estimate)");
    p.value = read_term(text.substr(0, plus_minus), whole, d);
    p.sigma = read_term(behind, whole, d);
    p.sigma_percent = p.sigma->unit == "%";
    return p;
  }
  std::string_view range = text;
  if (bracket != std::string_view::npos) {
    if (trim(text).back() != ')' || text.find('(', bracket + 1) != std::string_view::npos)
      fail(fmt::format("the bracket in \"{}\" is not closed", whole), "\"0.22 (0.15 to 0.3)\"");
    p.value = read_term(text.substr(0, bracket), whole, d);
    range = trim(text.substr(bracket + 1));
    range.remove_suffix(1);
    if (find_word(range, "to") == std::string_view::npos)
      fail(fmt::format("the bracket in \"{}\" holds no range", whole), "\"0.22 (0.15 to 0.3)\"");
  }
  const std::size_t to = find_word(range, "to");
  if (to == std::string_view::npos) {
    p.value = read_term(text, whole, d);
    return p;
  }
  p.nominal = bracket != std::string_view::npos;
  p.low = read_term(range.substr(0, to), whole, d);
  p.high = read_term(range.substr(to + 2), whole, d);
  return p;
}

// A number without a unit takes the unit of the next one that has one, else of the one before.
void share_units(Pieces& p) {
  std::vector<Term*> terms;
  if (p.nominal) terms.push_back(&p.value);
  if (p.sigma && !p.sigma_percent && !(p.sigma->number == 0 && p.sigma->unit.empty()))
    terms.push_back(&*p.sigma);
  if (p.low) terms.push_back(&*p.low);
  if (p.high) terms.push_back(&*p.high);
  for (std::size_t i = terms.size(); i-- > 1;)
    if (terms[i - 1]->unit.empty()) terms[i - 1]->unit = terms[i]->unit;
  for (std::size_t i = 1; i < terms.size(); ++i)
    if (terms[i]->unit.empty()) terms[i]->unit = terms[i - 1]->unit;
}

struct Assembled {
  Quantity quantity;
  bool says_uncertainty = false;
};

Assembled assemble(std::string_view text, std::string_view whole, Dimension d) {
  Pieces p = split(text, whole, d);
  share_units(p);
  Quantity q;
  q.dimension = d;
  if (p.low) {
    q.low = p.low->number * factor_of(p.low->unit, d);
    q.high = p.high->number * factor_of(p.high->unit, d);
    q.value = p.nominal ? p.value.number * factor_of(p.value.unit, d) : (q.low + q.high) / 2;
    if (!(q.low < q.high))
      fail(fmt::format("the range in \"{}\" does not rise", whole), example_of(d),
           "write the lower end first");
    if (q.value < q.low || q.value > q.high)
      fail(fmt::format("the value in \"{}\" lies outside its own range", whole), example_of(d));
    q.knowledge = Knowledge::kEstimate;
    q.sigma = (q.high - q.low) / std::sqrt(12.0);
    return {q, true};
  }
  q.value = p.value.number * factor_of(p.value.unit, d);
  if (!p.sigma) return {q, false};
  if (p.sigma_percent && q.value == 0)
    fail(fmt::format("\"{}\" is a share of zero", whole), example_of(d), "give the uncertainty with a unit");
  if (p.sigma->number < 0)
    fail(fmt::format("the uncertainty in \"{}\" is negative", whole), example_of(d),
         "one standard deviation is never below zero");
  if (p.sigma->number > 0)
    q.sigma = p.sigma_percent ? std::abs(q.value) * p.sigma->number / 100
                              : p.sigma->number * factor_of(p.sigma->unit, d);
  q.knowledge = q.sigma > 0 ? Knowledge::kMeasured : Knowledge::kExact;
  return {q, true};
}

Quantity scaled(Quantity q, double factor, Dimension d) {
  q.dimension = d;
  q.value *= factor;
  q.sigma *= factor;
  q.low *= factor;
  q.high *= factor;
  return q;
}

Assembled read_text(std::string_view text, Dimension d) {
  if (text.empty()) fail("the value is empty", example_of(d), "leave the key out when it was not measured");
  const std::size_t at = find_word(text, "at");
  if (at == std::string_view::npos) return assemble(text, text, d);
  if (d != Dimension::kTorque)
    fail(fmt::format("only a friction torque is given \"at\" a radius, and this is {}", dimension_words(d)),
         example_of(d));
  const Term radius = read_term(text.substr(at + 2), text, Dimension::kLength);
  const double arm = radius.number * factor_of(radius.unit, Dimension::kLength);
  if (!(arm > 0)) fail(fmt::format("the radius in \"{}\" is not above zero", text), example_of(d));
  Assembled read = assemble(trim(text.substr(0, at)), text, Dimension::kWeight);
  read.quantity = scaled(read.quantity, arm, d);
  return read;
}

// What the schema says of values given without an uncertainty: "0.5 mm", "0.5 gf at 23 mm", "10 %".
double usual_sigma(const std::string& text, const Quantity& q) {
  const std::string_view trimmed = trim(text);
  if (trimmed.back() == '%') return std::abs(q.value) * read_term(trimmed, text, q.dimension).number / 100;
  return read_text(trimmed, q.dimension).quantity.value;
}

Quantity read_with_usual_sigma(std::string_view text, Dimension d, const std::string& default_sigma) {
  Assembled read = read_text(text, d);
  Quantity& q = read.quantity;
  if (d == Dimension::kCount && (q.knowledge != Knowledge::kExact || q.value != std::floor(q.value)))
    fail(fmt::format("{} is not a whole number", text), "a whole number such as 40");
  if (!read.says_uncertainty && !default_sigma.empty()) {
    q.sigma = usual_sigma(default_sigma, q);
    if (q.sigma > 0) q.knowledge = Knowledge::kMeasured;
  }
  return q;
}

void check_range(const Quantity& q, std::string_view text, const std::string& range) {
  if (range.empty()) return;
  const Range r = read_range(range, q.dimension);
  const bool estimate = q.knowledge == Knowledge::kEstimate;
  const double least = estimate ? q.low : q.value;
  const double most = estimate ? q.high : q.value;
  const double slack = 1e-9 * std::max(std::abs(r.low), std::abs(r.high));
  if (least < 0 && r.low >= 0)
    fail(fmt::format("\"{}\" is negative, which cannot be", text), fmt::format("{}", range),
         "check the sign");
  if (least < r.low - slack || most > r.high + slack)
    fail(fmt::format("\"{}\" is outside everything plausible here", text), range,
         "check the number and its unit, and that the right thing was measured");
  if (q.knowledge == Knowledge::kMeasured && q.sigma > r.high - r.low)
    fail(fmt::format("the uncertainty in \"{}\" is wider than everything plausible here ({})", text, range),
         example_of(q.dimension), "check the number and its unit");
}

}  // namespace

QuantityResult read_quantity(std::string_view text, Dimension dimension, const std::string& default_sigma,
                             const std::string& range) {
  try {
    std::string plain(trim(text));
    for (std::size_t i = plain.find(kMinusSign); i != std::string::npos; i = plain.find(kMinusSign))
      plain.replace(i, 3, "-");
    const Quantity q = read_with_usual_sigma(plain, dimension, default_sigma);
    if (!std::isfinite(q.value) || !std::isfinite(q.sigma))
      fail(fmt::format("\"{}\" is too large to hold", trim(text)));
    check_range(q, trim(text), range);
    return q;
  } catch (const Fault& fault) {
    return static_cast<QuantityFault>(fault);
  }
}

Range read_range(const std::string& text, Dimension dimension) {
  // A range of a torque may be given at a radius like the torque itself.
  const Quantity q = read_text(trim(text), dimension).quantity;
  assert(q.knowledge == Knowledge::kEstimate);
  return {q.low, q.high};
}

std::string trade_unit(Dimension d) {
  if (is_plain(d)) return "";
  if (d == Dimension::kTorque) return "gf at 23 mm";
  return units_of(d).front();
}

std::string dimension_words(Dimension d) {
  switch (d) {
    case Dimension::kLength:
      return "a length";
    case Dimension::kAngle:
      return "an angle";
    case Dimension::kMass:
      return "a mass";
    case Dimension::kWeight:
      return "a weight or force";
    case Dimension::kTorque:
      return "a torque";
    case Dimension::kInertia:
      return "a moment of inertia";
    case Dimension::kStiffness:
      return "a stiffness";
    case Dimension::kAngularStiffness:
      return "an angular stiffness";
    case Dimension::kAngularDamping:
      return "an angular damping";
    case Dimension::kDamping:
      return "a damping";
    case Dimension::kDampingTime:
      return "a cloth's damping factor";
    case Dimension::kTime:
      return "a time";
    case Dimension::kSpeed:
      return "a speed";
    case Dimension::kDensity:
      return "a density";
    case Dimension::kNumber:
      return "a plain number";
    case Dimension::kCount:
      return "a whole number";
  }
  return "";
}

double trade_unit_in_si(Dimension d) {
  if (is_plain(d) || d == Dimension::kTorque) return 1;
  return find_unit(units_of(d).front())->si;
}

std::vector<std::string> units_of(Dimension d) {
  std::vector<std::string> words;
  for (const Unit& unit : unit_table())
    if (unit.dimension == d) words.push_back(unit.word);
  return words;
}

std::string write_quantity(const Quantity& q) {
  const double unit = trade_unit_in_si(q.dimension);
  const std::string word = is_plain(q.dimension) ? "" : " " + units_of(q.dimension).front();
  const auto number = [&](double si) { return fmt::format("{:.12g}", si / unit); };
  if (q.knowledge == Knowledge::kEstimate)
    return fmt::format("{}{} ({}{} to {}{})", number(q.value), word, number(q.low), word, number(q.high),
                       word);
  if (q.knowledge == Knowledge::kExact) return fmt::format("{}{} +- 0", number(q.value), word);
  return fmt::format("{}{} +- {}{}", number(q.value), word, number(q.sigma), word);
}

}  // namespace leverwright::case_file

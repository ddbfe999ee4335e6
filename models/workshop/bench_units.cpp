#include "models/workshop/bench_units.h"

#include <fmt/format.h>

#include <cctype>
#include <cstdlib>
#include <optional>

namespace leverwright::workshop {

using case_file::Dimension;

namespace {

constexpr double kInch = 25.4, kOunce = 28.349523125;  // mm, g

bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }
bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

// A number with its fraction, and where it ends: "4 7/16", "4-7/16", "7/16", "4.4375".
struct Number {
  double value = 0;
  std::size_t end = 0;
};
std::optional<Number> read_number(const std::string& text, std::size_t at) {
  const auto whole = [&](std::size_t& k) -> std::optional<double> {
    const std::size_t from = k;
    while (k < text.size() && is_digit(text[k])) ++k;
    if (k == from || k - from > 9) return {};
    return std::strtod(text.substr(from, k - from).c_str(), nullptr);
  };
  const auto fraction = [&](std::size_t k) -> std::optional<Number> {
    const auto above = whole(k);
    if (!above || k >= text.size() || text[k] != '/') return {};
    const auto below = whole(++k);
    if (!below || *below == 0 || *above >= *below) return {};
    return Number{*above / *below, k};
  };
  if (const auto f = fraction(at)) return f;
  std::size_t k = at;
  while (k < text.size() && (is_digit(text[k]) || text[k] == '.')) ++k;
  if (k == at) return {};
  Number n{std::strtod(text.substr(at, k - at).c_str(), nullptr), k};
  if (text.find('.', at) < k) return n;
  std::size_t next = k;
  while (next < text.size() && (text[next] == ' ' || text[next] == '-')) ++next;
  if (next > k)
    if (const auto f = fraction(next)) return Number{n.value + f->value, f->end};
  return n;
}

// The unit word at `at`, after blanks: its end; nothing when another word or none stands there.
std::optional<std::size_t> find_unit_word(const std::string& text, std::size_t at,
                                          std::initializer_list<const char*> words) {
  while (at < text.size() && text[at] == ' ') ++at;
  for (const std::string word : words) {
    if (text.compare(at, word.size(), word) != 0) continue;
    const std::size_t end = at + word.size();
    if (is_letter(word.back()) && end < text.size() && is_letter(text[end])) continue;
    return end;
  }
  return {};
}
std::optional<std::size_t> find_inches(const std::string& text, std::size_t at) {
  return find_unit_word(text, at, {"inches", "inch", "in.", "in", "\"", "''", "\u2033", "\u201d"});
}
std::optional<std::size_t> find_ounces(const std::string& text, std::size_t at) {
  return find_unit_word(text, at, {"ounces", "ounce", "oz.", "oz"});
}

// Every number that carries this unit, or none at all while another carries it, in `to` of `factor` each.
template <class Find>
std::string convert(const std::string& text, const Find& find, double factor, const std::string& to) {
  std::string out;
  bool any = false;
  for (std::size_t at = 0; at < text.size();) {
    const bool starts =
        at == 0 || !(is_digit(text[at - 1]) || is_letter(text[at - 1]) || text[at - 1] == '.');
    const auto number = starts ? read_number(text, at) : std::nullopt;
    if (!number) {
      out += text[at++];
      continue;
    }
    std::size_t next = number->end;
    while (next < text.size() && text[next] == ' ') ++next;
    const auto end = find(text, number->end);
    const bool bare = next >= text.size() || text[next] == '+' || text[next] == '(' || text[next] == ')' ||
                      text[next] == '/' || text.compare(next, 2, "\u00b1") == 0 ||
                      text.compare(next, 3, "to ") == 0;
    any = any || end.has_value();
    if (end || bare) {
      out += fmt::format("{:.7g} {}", number->value * factor, to);
      at = end.value_or(number->end);
    } else {
      out += text.substr(at, number->end - at);
      at = number->end;
    }
  }
  return any ? out : text;
}

}  // namespace

std::string in_case_units(const std::string& written, Dimension dimension) {
  // Weight and radius of a torque have units of their own.
  if (const auto at = written.find(" at "); at != std::string::npos)
    return in_case_units(written.substr(0, at), Dimension::kWeight) + " at " +
           in_case_units(written.substr(at + 4), Dimension::kLength);
  switch (dimension) {
    case Dimension::kLength:
      return convert(written, find_inches, kInch, "mm");
    case Dimension::kMass:
      return convert(written, find_ounces, kOunce, "g");
    case Dimension::kWeight:
    case Dimension::kTorque:
      return convert(written, find_ounces, kOunce, "gf");
    default:
      return written;
  }
}

bool ends_in_unit(const std::string& written) {
  const auto last = written.find_last_not_of(" )");
  return last != std::string::npos && (is_letter(written[last]) || written[last] == '%');
}

}  // namespace leverwright::workshop

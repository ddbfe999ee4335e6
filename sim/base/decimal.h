// A decimal number at the start of a text, in the form of case files whatever the language of the machine: the one
// place where digits become a double.
#pragma once
#include <charconv>
#if !defined(__cpp_lib_to_chars)
#include <cerrno>
#include <cstdlib>
#include <string>
#endif

namespace leverwright::base {

// As std::from_chars of [first, last): no leading blank or plus sign. Where the library of the compiler cannot do that
// for a double (a browser's), strtod stands in, in which there is no language but C.
inline std::from_chars_result read_decimal(const char* first, const char* last, double& value) {
#if defined(__cpp_lib_to_chars)
  return std::from_chars(first, last, value);
#else
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  const char* at = first;
  if (at != last && *at == '-') ++at;
  const char* digits = at;
  while (at != last && is_digit(*at)) ++at;
  if (at != last && *at == '.') ++at;
  while (at != last && is_digit(*at)) ++at;
  const bool any = at - digits > 1 || (at - digits == 1 && is_digit(*digits));
  if (!any) return {first, std::errc::invalid_argument};
  if (at != last && (*at == 'e' || *at == 'E')) {
    const char* power = at + 1;
    if (power != last && (*power == '-' || *power == '+')) ++power;
    if (power != last && is_digit(*power)) {
      while (power != last && is_digit(*power)) ++power;
      at = power;
    }
  }
  const std::string text(first, at);
  errno = 0;
  const double read = std::strtod(text.c_str(), nullptr);
  if (errno == ERANGE && (read > 1 || read < -1)) return {at, std::errc::result_out_of_range};
  value = read;
  return {at, std::errc()};
#endif
}

}  // namespace leverwright::base

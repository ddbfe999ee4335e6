#include "tests/fuzz/shaken_files.h"

#include <algorithm>

namespace leverwright::fuzz {

namespace {

const std::vector<std::string>& words() {
  static const std::vector<std::string> list = {"nan",
                                                "inf",
                                                "1e999",
                                                "-1",
                                                "0",
                                                "+-",
                                                " mm",
                                                " gf",
                                                " g",
                                                "%",
                                                "to",
                                                "\"",
                                                "\"\"\"",
                                                "'",
                                                "[",
                                                "]",
                                                "[[",
                                                "]]",
                                                "{",
                                                "}",
                                                "=",
                                                ",",
                                                ";",
                                                "\t",
                                                "\n",
                                                "\r\n",
                                                "#",
                                                ".",
                                                "..",
                                                "\\",
                                                "\\u0000",
                                                "\x1b[2J",
                                                std::string(1, '\0'),
                                                "\xff",
                                                "\xef\xbb\xbf",
                                                "\xc3",
                                                "99999999999999999999",
                                                "0x1p-1074",
                                                "1_000",
                                                "true",
                                                "1979-05-27",
                                                "set_up",
                                                "[[set_up.change]]",
                                                "kind = ",
                                                "measured.spread = ",
                                                "as found",
                                                "note",
                                                "time [s]"};
  return list;
}

}  // namespace

std::string shake(const std::vector<std::string>& given, std::mt19937_64& engine) {
  const auto below = [&](std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, std::max<std::size_t>(n, 1) - 1)(engine);
  };
  std::string text = given[below(given.size())];
  const std::size_t times = 1 + below(8);
  for (std::size_t k = 0; k < times; ++k) {
    const std::size_t at = below(text.size() + 1), length = std::min(below(60), text.size() - at);
    switch (below(9)) {
      case 0:
        if (at < text.size()) text[at] = static_cast<char>(text[at] ^ (1 << below(8)));
        break;
      case 1:
        if (at < text.size()) text[at] = static_cast<char>(below(256));
        break;
      case 2:
        text.erase(at, length);
        break;
      case 3:
        text.insert(at, text.substr(at, length));
        break;
      case 4: {
        const std::string& other = given[below(given.size())];
        const std::size_t from = below(other.size() + 1);
        text.insert(at, other.substr(from, below(200)));
        break;
      }
      case 5: {
        const std::string piece = text.substr(at, length);
        text.erase(at, length);
        text.insert(below(text.size() + 1), piece);
        break;
      }
      case 6:
        text.resize(at);
        break;
      case 7:
        for (std::size_t n = below(40); n > 0; --n) text.insert(at, text.substr(at, length));
        break;
      default:
        text.insert(at, words()[below(words().size())]);
    }
  }
  return text;
}

}  // namespace leverwright::fuzz

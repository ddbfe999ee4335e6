// Files made up from given ones without looking at what the reader does with them: bytes changed, pieces left out,
// doubled, moved, taken from another file, words of the format put in. The poor relation of the fuzzers: it finds less
// in a minute, but runs wherever the tests run, under every sanitizer.
#pragma once
#include <random>
#include <string>
#include <vector>

namespace leverwright::fuzz {

std::string shake(const std::vector<std::string>& given, std::mt19937_64& engine);

}  // namespace leverwright::fuzz

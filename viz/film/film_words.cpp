#include <fmt/format.h>

#include "viz/film/film.h"

namespace leverwright::film {
namespace {

// The comment of a film lies in its file as it is, in every kind that is written here.
const char *const kFrom = " [shows: ", *const kTo = " :end]";

}  // namespace

std::string describe(const FilmRequest& r) {
  const std::string first = "\u201c" + r.strokes.front().label + "\u201d";
  std::string who = first;
  if (r.strokes.size() > 1) {
    const std::string second = "\u201c" + r.strokes.back().label + "\u201d";
    who = r.arrangement == Arrangement::kGhost ? first + ", and over it as outlines " + second
                                               : first + " on the left, " + second + " on the right";
  }
  return fmt::format("One stroke at {}, {:g} times slower than life: {}.", r.stroke, r.slow, who);
}

std::string as_comment(const std::string& words) { return kFrom + words + kTo; }

std::string find_words(const std::string& bytes) {
  const std::size_t from = bytes.find(kFrom);
  if (from == std::string::npos) return "";
  const std::size_t begin = from + std::string(kFrom).size(), end = bytes.find(kTo, begin);
  constexpr std::size_t kLongest = 2000;
  if (end == std::string::npos || end - begin > kLongest) return "";
  return bytes.substr(begin, end - begin);
}

}  // namespace leverwright::film

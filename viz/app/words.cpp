#include "viz/app/words.h"

#include "models/case_file/nearest.h"

namespace leverwright::app {

std::string quoted_list(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& w : words) out += (out.empty() ? "\"" : ", \"") + w + "\"";
  return out;
}

base::UserError unknown_word(const std::string& file, const std::string& what, const std::string& word,
                             const std::vector<std::string>& known, const std::string& option) {
  const std::string near = case_file::nearest_word(word, known);
  const std::string written = (option.empty() ? "" : option + " ") + "\"" + near + "\"";
  return base::UserError(
      {base::Problem{file, 0, "", what, known.empty() ? "" : "one of " + quoted_list(known),
                     near.empty() ? "" : "did you mean " + written + "?"}});
}

}  // namespace leverwright::app

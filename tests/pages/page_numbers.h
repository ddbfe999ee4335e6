// Numbers on pages that the program makes: a block of a page keeps a template and the command that answers
// it, and what a reader sees is made from both.
//
//   <!-- numbers: compare cases/missed_heel/case.toml --no-pictures
//   | as found | {[as found:down_weight]|.1} gf | {[as found:friction]|.1} gf |
//   holds: [as found:capstan_friction] < 0.2
//   -->
//   | as found | 52.6 gf | 16.1 gf |
//   <!-- numbers end -->
//
// {EXPRESSION|FORMAT} becomes a number. An expression is terms with + - * / between them, blanks around,
// taken from left to right; a term is a number or a reference into the JSON that the command writes:
//
//   [SET-UP:KEY]       value of a number of a comparison; KEY may be GROUP/KEY ("touch mf/hammer_speed")
//   [min:KEY] [max:KEY]  over all set-ups
//   [/a/b/0]           a path; in a list a step is an index or the name, key, note, set_up or what of an
//   entry .change, .sigma or .sigma_of_change after a KEY takes that in place of the value
//
// FORMAT is .N (decimals), +.N (with its sign), "change .N" ("+1.2 +- 0.6" of a [SET-UP:KEY]) or "words" (a
// path to a text). A line "holds: A < B" (or >, and "and") is no text: it is held against the numbers, so
// that a sentence cannot outlive them.
#pragma once
#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace leverwright::pages {

using Json = nlohmann::json;
using Answer = std::function<const Json&(const std::string& command)>;

// The page with every block made afresh. What cannot be made stays as it was and is named in `problems`.
std::string renew_page(const std::string& page, const Answer& answer, std::vector<std::string>& problems);

// One template, for tests. Throws std::runtime_error with what is wrong.
std::string fill_template(const std::string& text, const Json& answer, std::vector<std::string>& problems);

// Rows of an expected.toml whose value is the program's own, set to what it answers now, in the decimals of
// their tolerance; rows with another source that are missed are named in `problems`.
std::string renew_expected(const std::string& text, const Json& comparison,
                           std::vector<std::string>& problems);

}  // namespace leverwright::pages

// Set-ups of a case as a person edits them: name, description and changes with their arguments as written, read out of
// the case's text and put back so that every other line, comment and their order stay.
#pragma once
#include <string>
#include <utility>
#include <vector>

namespace leverwright::page {

struct ChangeText {
  std::string kind;
  std::vector<std::pair<std::string, std::string>>
      arguments;  // as in the case, in its order; lists are left out
  bool operator==(const ChangeText& o) const { return kind == o.kind && arguments == o.arguments; }
};

struct SetUpText {
  std::string name, description;
  std::vector<ChangeText> changes;
  int from = 0, to = 0;   // its lines in the text, counted from 1, the last included; 0: not in it
  bool as_it_is = false;  // holds more than texts: only its lines can carry it
  bool says_the_same(const SetUpText& o) const {
    return name == o.name && description == o.description && changes == o.changes;
  }
};

// Throws base::UserError when the text is no TOML.
std::vector<SetUpText> read_set_up_texts(const std::string& text, const std::string& path);

// The lines of one [[set_up]] with its changes.
std::string write_set_up_text(const SetUpText& set_up);

// The case with these set-ups: one that says the same as one of the text, by `from`, keeps its lines; one that says
// something else is written anew in its place; those not listed are taken out; new ones (from = 0) stand at the end.
std::string put_set_ups(const std::string& text, const std::string& path,
                        const std::vector<SetUpText>& set_ups);

// The text without any set-up, and the lines of one.
std::string without_set_ups(const std::string& text, const std::vector<SetUpText>& set_ups);
std::string lines_of(const std::string& text, const SetUpText& set_up);

}  // namespace leverwright::page

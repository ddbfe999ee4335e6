#include "models/case_file/toml_form.h"

#include <fmt/format.h>

#include <cctype>

#include "sim/base/shown_text.h"

namespace leverwright::case_file {
namespace {

bool begins_key(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-' || c == '"' || c == '\'';
}

// Walks over a text and knows where strings and remarks are.
class Walker {
 public:
  explicit Walker(const std::string& text) : text_(text) {}

  FormFault find() {
    while (at_ < text_.size() && fault_.line == 0) step();
    return fault_;
  }

 private:
  bool follows(const char* what) const { return text_.compare(at_, 3, what) == 0; }

  void step() {
    const char c = text_[at_];
    if (c == '\n') {
      ++line_;
      line_begins_ = true;
      dots_ = 0;
      ++at_;
    } else if (c == '#') {
      while (at_ < text_.size() && text_[at_] != '\n') ++at_;
    } else if (c == '"' || c == '\'') {
      skip_string(c);
      line_begins_ = false;
    } else if (c == '[' && line_begins_ && depth_ == 0) {
      heading();
    } else {
      if (c != ' ' && c != '\t' && c != '\r') line_begins_ = false;
      mark(c);
      ++at_;
    }
  }

  void mark(char c) {
    if (c == '.') {
      if (++dots_ > kDeepestKey) too_deep();
    } else if (c == '[' || c == '{') {
      dots_ = 0;
      if (++depth_ > kDeepestBrackets) too_deep();
    } else if (c == ']' || c == '}') {
      dots_ = 0;
      if (depth_ > 0) --depth_;
    } else if (c == '=' || c == ',') {
      dots_ = 0;
    }
  }

  // "[a.b]" or "[[a]]" at the beginning of a line; its brackets are no list's.
  void heading() {
    line_begins_ = false;
    dots_ = 0;
    while (at_ < text_.size() && text_[at_] == '[') ++at_;
    while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t')) ++at_;
    if (at_ >= text_.size() || !begins_key(text_[at_])) {
      fault_ = {line_, "a section's heading is not complete", "[measured] or [[set_up]]",
                "check its brackets and name"};
      return;
    }
    while (at_ < text_.size() && text_[at_] != ']' && text_[at_] != '\n' && text_[at_] != '#' &&
           fault_.line == 0) {
      if (text_[at_] == '"' || text_[at_] == '\'') {
        skip_string(text_[at_]);
        continue;
      }
      mark(text_[at_]);
      ++at_;
    }
    while (at_ < text_.size() && text_[at_] == ']') ++at_;
    depth_ = 0;
  }

  void skip_string(char quote) {
    const std::string three(3, quote);
    if (follows(three.c_str())) {
      at_ += 3;
      while (at_ < text_.size() && !follows(three.c_str())) {
        if (text_[at_] == '\\' && quote == '"' && at_ + 1 < text_.size()) ++at_;
        if (text_[at_] == '\n') ++line_;
        ++at_;
      }
      at_ = at_ + 3 < text_.size() ? at_ + 3 : text_.size();
      return;
    }
    ++at_;
    while (at_ < text_.size() && text_[at_] != quote && text_[at_] != '\n') {
      if (text_[at_] == '\\' && quote == '"' && at_ + 1 < text_.size() && text_[at_ + 1] != '\n') ++at_;
      ++at_;
    }
    if (at_ < text_.size() && text_[at_] == quote) ++at_;
  }

  void too_deep() {
    fault_ = {
        line_, "keys or lists are nested too deep",
        fmt::format("at most {} dots in a key, {} brackets within brackets", kDeepestKey, kDeepestBrackets),
        "look at the cases that come with the program for the form"};
  }

  const std::string& text_;
  std::size_t at_ = 0;
  int line_ = 1, dots_ = 0, depth_ = 0;
  bool line_begins_ = true;
  FormFault fault_;
};

int line_at(const std::string& text, std::size_t at) {
  int line = 1;
  for (std::size_t k = 0; k < at; ++k) line += text[k] == '\n';
  return line;
}

}  // namespace

FormFault find_form_fault(const std::string& text) {
  if (const auto at = base::find_control(text); at != std::string::npos) {
    std::size_t length = 1;
    base::is_control(text, at, length);
    return {line_at(text, at),
            fmt::format("there is a control character here ({})", base::shown_text(text.substr(at, length))),
            "plain text", "remove the character: an editor that shows invisible ones helps"};
  }
  return Walker(text).find();
}

}  // namespace leverwright::case_file

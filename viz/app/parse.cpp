// The library that splits the words compiles slowly: it is included here alone.
#include "viz/app/parse.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <utility>

#include "models/case_file/nearest.h"
#include "sim/base/error.h"
#include "sim/base/program_files.h"
#include "sim/base/version.h"
#include "viz/app/help_text.h"

namespace leverwright::app {

namespace {

using Pairs = std::vector<std::pair<Option*, CLI::Option*>>;

base::UserError wrong(const std::string& what, const std::string& expected, const std::string& advice) {
  return base::UserError({base::Problem{"", 0, "", what, expected, advice}});
}

// cases/... that is not below the current folder means the cases installed with the program.
std::string find_file(const std::string& path) {
  if (path.rfind("cases/", 0) != 0 || std::filesystem::exists(path)) return path;
  const std::string cases = base::find_installed("cases");
  const std::string there = cases + path.substr(5);
  return !cases.empty() && std::filesystem::exists(there) ? there : path;
}

void add_options(CLI::App& to, std::deque<Option>& options, Pairs& pairs) {
  for (Option& o : options) {
    CLI::Option* made = nullptr;
    if (bool* const* flag = std::get_if<bool*>(&o.to))
      made = to.add_flag_callback(
          o.name, [target = *flag, value = !o.off] { *target = value; }, o.about);
    else
      std::visit(
          [&](auto* target) {
            if constexpr (!std::is_same_v<decltype(target), bool*>)
              made = to.add_option(o.name, *target, o.about);
          },
          o.to);
    made->required(o.required);
    made->type_name(o.metavar);
    pairs.emplace_back(&o, made);
  }
}

std::string help_of(const std::string& verb) {
  return verb.empty() ? "leverwright --help" : "leverwright " + verb + " --help";
}

// What the library found wrong, in our words.
base::UserError explain(const App& app, const std::string& chosen, const std::string& error, int argc,
                        char** argv) {
  std::vector<std::string> verbs, known{"--help", "--version"};
  std::string all;
  for (const Verb& v : app.verbs) {
    verbs.push_back(v.name);
    all += (all.empty() ? "" : ", ") + v.name;
  }
  const std::string help = help_of(chosen);
  if (chosen.empty()) {
    std::string word;
    for (int k = 1; k < argc && word.empty(); ++k) {
      const std::string before = argv[k - 1];
      if (argv[k][0] != '-' && before != "--width" && before != "--colour") word = argv[k];
    }
    if (word.empty()) return wrong("no verb is given", "one of " + all, help);
    const std::string near = case_file::nearest_word(word, verbs);
    return wrong("unknown verb \"" + word + "\"", "one of " + all,
                 near.empty() ? help : "did you mean \"leverwright " + near + "\"?");
  }
  const auto take = [&](const std::deque<Option>& options) {
    for (const Option& o : options)
      if (!o.by_place()) known.push_back(o.name.substr(o.name.find("--")));
  };
  take(app.options);
  for (const Verb& v : app.verbs)
    if (v.name == chosen) take(v.options);
  for (int k = 1; k < argc; ++k) {
    std::string word = argv[k];
    word.resize(std::min(word.size(), word.find('=')));
    if (word.rfind("--", 0) != 0 || std::find(known.begin(), known.end(), word) != known.end()) continue;
    const std::string near = case_file::nearest_word(word, known);
    return wrong("unknown option \"" + word + "\"", "",
                 near.empty() ? help : "did you mean " + near + "?  Otherwise: " + help);
  }
  return wrong(error, "", help);
}

// Values the option has no use for.
void check(const Option& o, const CLI::Option& given, const std::string& help) {
  const bool number = std::holds_alternative<double*>(o.to) || std::holds_alternative<int*>(o.to) ||
                      std::holds_alternative<std::vector<double>*>(o.to);
  for (const std::string& value : given.results()) {
    if (std::holds_alternative<bool*>(o.to)) continue;
    if (value.empty())
      throw wrong(o.name + " is given, but empty", "", "leave it out, or give a value: " + help);
    if (!o.choices.empty() && std::find(o.choices.begin(), o.choices.end(), value) == o.choices.end()) {
      const std::string near = case_file::nearest_word(value, o.choices);
      throw wrong(o.name + " " + value + ": unknown", fmt::format("{}", fmt::join(o.choices, ", ")),
                  near.empty() ? help : "did you mean " + o.name + " " + near + "?");
    }
    if (!number) continue;
    const double x = std::strtod(value.c_str(), nullptr);
    if (!std::isfinite(x)) throw wrong(o.name + " " + value + ": this is no finite number", "", help);
    if (x < o.low || x > o.high)
      throw wrong(o.name + " " + value + ": out of its bounds", fmt::format("{:g} to {:g}", o.low, o.high),
                  help);
  }
}

// The file to be read where it is found.
void note_file(const Option& o, std::vector<std::string>& reads) {
  if (auto* const* path = std::get_if<std::string*>(&o.to); path != nullptr && o.reads) {
    **path = find_file(**path);
    reads.push_back(**path);
  }
}

}  // namespace

Parsed parse(App& app, int argc, char** argv) {
  CLI::App words("", "leverwright");
  words.require_subcommand(1);
  words.fallthrough();
  bool version = false, help = false, manual = false, completion = false;
  words.set_help_flag();
  words.add_flag("-h,--help", help);
  words.add_flag("--version", version);
  words.add_flag("--manual-page", manual);  // these two for the installation; not in the help
  words.add_flag("--bash-completion", completion);
  Pairs pairs;
  add_options(words, app.options, pairs);
  const std::size_t common = pairs.size();
  std::vector<std::pair<Verb*, CLI::App*>> verbs;
  for (Verb& v : app.verbs) {
    verbs.emplace_back(&v, words.add_subcommand(v.name));
    verbs.back().second->set_help_flag();
    add_options(*verbs.back().second, v.options, pairs);
  }
  std::string failed;
  try {
    words.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    failed = e.what();
  }
  Parsed out;
  for (const auto& [verb, parsed] : verbs)
    if (parsed->parsed()) out.verb = verb;
  const std::string chosen = out.verb != nullptr ? out.verb->name : "";
  if (help || version || manual || completion) {
    out.text = manual       ? write_manual_page(app)
               : completion ? write_bash_completion(app)
               : version    ? std::string("leverwright ") + base::kVersion + "\n"
               : out.verb   ? write_help(app, *out.verb)
                            : write_help(app);
    out.verb = nullptr;
    return out;
  }
  if (!failed.empty()) throw explain(app, chosen, failed, argc, argv);
  for (std::size_t k = 0; k < pairs.size(); ++k) {
    const auto& [option, given] = pairs[k];
    if (given->count() == 0) continue;
    check(*option, *given, help_of(k < common ? "" : chosen));
    note_file(*option, out.reads);
  }
  return out;
}

}  // namespace leverwright::app

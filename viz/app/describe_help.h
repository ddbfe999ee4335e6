// What CLI11 knows of the command line as plain data. CLI11 compiles slowly: only command_line.cpp includes
// this.
#pragma once
#include <CLI/CLI.hpp>
#include <sstream>

#include "viz/app/help_pages.h"

namespace leverwright::app {

inline HelpOption describe(const CLI::Option& option) {
  HelpOption out;
  for (const auto& name : option.get_lnames()) out.names.push_back("--" + name);
  for (const auto& name : option.get_snames()) out.names.push_back("-" + name);
  const bool by_place = out.names.empty();
  // TEXT, FLOAT, TEXT:{a,b,c}, INT in [2 - 201]
  std::string kind = option.get_type_size() == 0 ? "" : option.get_type_name();
  if (const auto open = kind.find(":{"); open != std::string::npos) {
    std::istringstream words(kind.substr(open + 2, kind.rfind('}') - open - 2));
    for (std::string word; std::getline(words, word, ',');) out.choices.push_back(word);
  }
  kind = kind.substr(0, kind.find_first_of(": "));
  out.metavar = by_place ? option.get_single_name() : kind;
  out.about = option.get_description();
  out.standard = option.get_type_size() == 0 ? "" : option.get_default_str();
  out.required = option.get_required();
  out.many = option.get_items_expected_max() > 1;
  return out;
}

inline std::vector<HelpOption> describe_options(const CLI::App& app) {
  std::vector<HelpOption> out;
  for (const CLI::Option* option : app.get_options())
    if (!option->get_group().empty()) out.push_back(describe(*option));  // those without a group are hidden
  return out;
}

inline Help describe(const CLI::App& app, const std::string& version) {
  Help out{version, app.get_description(), app.get_footer(), describe_options(app), {}};
  for (const CLI::App* verb : app.get_subcommands([](const CLI::App*) { return true; }))
    out.verbs.push_back(
        {verb->get_name(), verb->get_description(), verb->get_footer(), describe_options(*verb)});
  return out;
}

}  // namespace leverwright::app

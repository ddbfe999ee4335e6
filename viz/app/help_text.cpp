#include "viz/app/help_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>

#include "sim/base/version.h"
#include "viz/table/text.h"

namespace leverwright::app {

namespace {

constexpr const char* kAbout =
    "Leverwright: what a change to a grand piano's action does, before a hole is drilled.\n"
    "Reads a case file with the bench measurements of one note, regulates and weighs each set-up, and "
    "compares them.";

constexpr const char* kClosing =
    "Exit codes\n"
    "  0  done\n"
    "  1  something you can put right: command line, case file, folder, or the set-up asked for cannot be\n"
    "     regulated or weighed (no output file is left)\n"
    "  2  stopped by Ctrl-C; finished set-ups are kept\n"
    "  3  the computation did not hold or the program failed; what was finished is kept\n\n"
    "Results go to standard output, talk and errors to standard error. \"leverwright VERB --help\" shows an "
    "example.\n"
    "Colour only on a terminal, and never with NO_COLOR set. LEVERWRIGHT_MODELS names another folder of "
    "parts and materials.";

constexpr int kWidth = 100;

const Option kHelp{"-h,--help", "", "Print this help.", static_cast<bool*>(nullptr), ""};
const Option kVersionOption{"--version", "", "Print the version.", static_cast<bool*>(nullptr), ""};

std::deque<Option> common_options(const App& app) {
  std::deque<Option> out{kHelp, kVersionOption};
  out.insert(out.end(), app.options.begin(), app.options.end());
  return out;
}

// "-o,--out" -> -o, --out
std::vector<std::string> names_of(const Option& o) {
  std::vector<std::string> out;
  std::istringstream names(o.name);
  if (!o.by_place())
    for (std::string name; std::getline(names, name, ',');) out.push_back(name);
  return out;
}

bool takes_many(const Option& o) {
  return std::holds_alternative<std::vector<std::string>*>(o.to) ||
         std::holds_alternative<std::vector<double>*>(o.to);
}

// The sentence with its choices and what holds otherwise, before its full stop.
std::string about_of(const Option& o) {
  std::string more;
  if (!o.choices.empty()) more += fmt::format(" [{}]", fmt::join(o.choices, ", "));
  if (!o.standard.empty()) more += " (" + o.standard + " when left out)";
  const bool stop = !more.empty() && !o.about.empty() && o.about.back() == '.';
  return stop ? o.about.substr(0, o.about.size() - 1) + more + "." : o.about + more;
}

std::string usage_of(const Verb& verb) {
  std::string out = verb.name;
  for (const auto& o : verb.options)
    if (o.by_place()) out += o.required ? " " + o.metavar : " [" + o.metavar + "]";
  const bool any =
      std::any_of(verb.options.begin(), verb.options.end(), [](const Option& o) { return !o.by_place(); });
  return any ? out + " [options]" : out;
}

std::string examples_of(const Verb& verb) {
  std::string out = verb.examples.size() == 1 ? "Example\n" : "Examples\n";
  for (const auto& e : verb.examples) out += "  leverwright " + e + "\n";
  return out;
}

std::string list_options(const std::deque<Option>& options) {
  constexpr int kLabel = 24;
  std::string out;
  for (const Option& o : options) {
    std::string label = "  " + (o.by_place() ? o.name : fmt::format("{}", fmt::join(names_of(o), ", ")));
    if (!o.by_place() && !o.metavar.empty()) label += " " + o.metavar + (takes_many(o) ? " ..." : "");
    const std::string rest(kLabel, ' ');
    const bool long_label = table::columns_of(label) > kLabel - 2;
    const std::string first = long_label ? rest : fmt::format("{:<{}}", label, kLabel);
    if (long_label) out += label + "\n";
    out += table::wrap(about_of(o), kWidth, first, rest);
  }
  return out;
}

std::string list_verbs(const App& app, bool daily) {
  std::string out;
  const std::string rest(14, ' ');
  for (const Verb& v : app.verbs)
    if (v.daily == daily) out += table::wrap(v.about, kWidth, fmt::format("  {:<12}", v.name), rest);
  return out;
}

// Text that roff prints as it stands.
std::string plain(const std::string& text) {
  std::string out;
  bool line_start = true;
  for (const char c : text) {
    if (line_start && (c == '.' || c == '\'')) out += "\\&";
    line_start = c == '\n';
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : plain(text)) out += c == '"' ? "\\(dq" : std::string(1, c);
  return out + "\"";
}

bool starts_with(const std::string& text, const std::string& with) { return text.rfind(with, 0) == 0; }

// Lines that are indented, and the one before an empty line, are kept as they are; the rest is filled.
std::string paragraphs(const std::string& text) {
  std::istringstream lines(text);
  std::string out;
  bool kept = false, gap = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.empty()) {
      gap = true;
      continue;
    }
    const bool keep = starts_with(line, "  ");
    if (keep && !kept) out += ".RS 2\n.nf\n";
    if (!keep && kept) out += ".fi\n.RE\n";
    if (gap && !keep) out += ".PP\n";
    kept = keep;
    gap = false;
    out += plain(keep ? line.substr(2) : line) + "\n";
  }
  return kept ? out + ".fi\n.RE\n" : out;
}

std::string write_option(const Option& o) {
  std::string head;
  for (const auto& name : names_of(o)) head += (head.empty() ? "\\fB" : ", \\fB") + plain(name) + "\\fR";
  if (!o.metavar.empty()) head += (head.empty() ? "\\fI" : " \\fI") + plain(o.metavar) + "\\fR";
  if (takes_many(o)) head += " ...";
  return ".TP\n" + head + "\n" + plain(about_of(o)) + "\n";
}

std::string all_names(const std::deque<Option>& options) {
  std::string out;
  for (const auto& o : options)
    for (const auto& name : names_of(o)) out += (out.empty() ? "" : " ") + name;
  return out;
}

// "    --paper) words='A4 Letter' ;;" for every option that takes a value; `verb` empty: of every verb.
std::string value_cases(const std::deque<Option>& options, const std::string& verb) {
  std::string out;
  for (const auto& o : options) {
    if (o.by_place() || o.metavar.empty()) continue;
    for (const auto& name : names_of(o))
      out += "    " + (verb.empty() ? "*\" " + name : "\"" + verb + " " + name) + "\") " +
             (o.choices.empty() ? "files=yes" : fmt::format("words='{}'", fmt::join(o.choices, " "))) +
             " value=yes ;;\n";
  }
  return out;
}

}  // namespace

std::string write_help(const App& app) {
  return std::string(kAbout) + "\n\nUsage: leverwright VERB [options]\n\nWhat a technician needs\n" +
         list_verbs(app, true) + "\nThe rest\n" + list_verbs(app, false) + "\nOptions of every verb\n" +
         list_options(common_options(app)) + "\n" + kClosing + "\n";
}

std::string write_help(const App& app, const Verb& verb) {
  return table::wrap(verb.about, kWidth) + "\nUsage: leverwright " + usage_of(verb) + "\n\n" +
         list_options(verb.options) + (verb.options.empty() ? "" : "\n") + "Options of every verb\n" +
         list_options(common_options(app)) + "\n" + examples_of(verb);
}

std::string write_manual_page(const App& app) {
  const std::string about = kAbout;
  std::string out = ".\\\" Written by the program from its own help (leverwright \\-\\-manual\\-page).\n";
  out += ".TH LEVERWRIGHT 1 \"\" " + quoted(std::string("leverwright ") + base::kVersion) +
         " \"User Commands\"\n";
  const auto colon = about.find(": "), end = about.find_first_of(".\n");
  out += ".SH NAME\nleverwright \\- " + plain(about.substr(colon + 2, end - colon - 2)) + "\n";
  out += ".SH SYNOPSIS\n.B leverwright\n\\fIVERB\\fR [options] ...\n";
  out += ".SH DESCRIPTION\n" + paragraphs(about);
  out += ".SH OPTIONS OF EVERY VERB\n";
  for (const auto& o : common_options(app)) out += write_option(o);
  out += ".SH VERBS\n";
  for (const auto& verb : app.verbs) {
    out += ".SS " + quoted(usage_of(verb)) + "\n" + plain(verb.about) + "\n";
    for (const auto& o : verb.options) out += write_option(o);
    out += ".PP\n" + paragraphs(examples_of(verb));
  }
  out += ".SH NOTES\n" + paragraphs(kClosing);
  out += ".SH FILES\n.TP\n.I share/leverwright\n";
  out += plain(
      "Beside the program's bin: models/parts, models/materials and models/handbook, and cases, each a demo "
      "that "
      "can be copied. A path that begins with cases/ and is not there is looked for here.\n");
  return out;
}

std::string write_bash_completion(const App& app) {
  std::string verbs;
  for (const auto& verb : app.verbs) verbs += (verbs.empty() ? "" : " ") + verb.name;
  const std::string common = all_names(common_options(app));
  std::string values = value_cases(app.options, ""), options;
  for (const auto& verb : app.verbs) {
    values += value_cases(verb.options, verb.name);
    options += "    " + verb.name + ") words='" + all_names(verb.options) + " " + common + "' ;;\n";
  }
  return "# Completion of leverwright for bash, written by the program from its own help\n"
         "# (leverwright --bash-completion).\n"
         "_leverwright() {\n"
         "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
         "  local verb= words= files= value= k\n"
         "  for ((k = 1; k < COMP_CWORD; ++k)); do\n"
         "    case ${COMP_WORDS[k]} in\n"
         "    --width | --colour) ((++k)) ;;\n"
         "    -*) ;;\n"
         "    *) verb=${COMP_WORDS[k]}; break ;;\n"
         "    esac\n"
         "  done\n"
         "  case \"$verb $before\" in\n" +
         values +
         "  esac\n"
         "  if [[ -z $value && $word == -* ]]; then\n"
         "    case $verb in\n" +
         options + "    *) words='" + common +
         "' ;;\n"
         "    esac\n"
         "  elif [[ -z $value && -z $verb ]]; then\n"
         "    words='" +
         verbs +
         "'\n"
         "  elif [[ -z $value ]]; then\n"
         "    files=yes\n"
         "  fi\n"
         "  if [[ -n $files ]]; then\n"
         "    compopt -o filenames 2> /dev/null\n"
         "    mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n"
         "  else\n"
         "    mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n"
         "  fi\n"
         "}\n"
         "complete -F _leverwright leverwright\n";
}

}  // namespace leverwright::app

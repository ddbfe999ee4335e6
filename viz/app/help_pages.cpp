#include "viz/app/help_pages.h"

#include <sstream>

namespace leverwright::app {

namespace {

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

std::string write_option(const HelpOption& o) {
  std::string head;
  for (const auto& name : o.names) head += (head.empty() ? "\\fB" : ", \\fB") + plain(name) + "\\fR";
  if (!o.metavar.empty()) head += (head.empty() ? "\\fI" : " \\fI") + plain(o.metavar) + "\\fR";
  if (o.many) head += " ...";
  std::string about = o.about;
  if (!o.choices.empty()) {
    about += " [";
    for (std::size_t k = 0; k < o.choices.size(); ++k) about += (k == 0 ? "" : ", ") + o.choices[k];
    about += "]";
  }
  if (!o.standard.empty()) about += " (" + o.standard + " when left out)";
  return ".TP\n" + head + "\n" + plain(about) + "\n";
}

std::string usage_of(const HelpVerb& verb) {
  std::string out = verb.name;
  bool any = false;
  for (const auto& o : verb.options) any = any || !o.names.empty();
  if (any) out += " [options]";
  for (const auto& o : verb.options)
    if (o.names.empty()) out += o.required ? " " + o.metavar : " [" + o.metavar + "]";
  return out;
}

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& w : words) out += (out.empty() ? "" : " ") + w;
  return out;
}

std::vector<std::string> names_of(const std::vector<HelpOption>& options) {
  std::vector<std::string> out;
  for (const auto& o : options)
    for (const auto& name : o.names) out.push_back(name);
  return out;
}

// "    --paper) words='A4 Letter' ;;" for every option that takes a value; `verb` empty: of every verb.
std::string value_cases(const std::vector<HelpOption>& options, const std::string& verb) {
  std::string out;
  for (const auto& o : options) {
    if (o.names.empty() || o.metavar.empty()) continue;
    for (const auto& name : o.names)
      out += "    " + (verb.empty() ? "*\" " + name : "\"" + verb + " " + name) + "\") " +
             (o.choices.empty() ? "files=yes" : "words='" + joined(o.choices) + "'") + " value=yes ;;\n";
  }
  return out;
}

}  // namespace

std::string write_manual_page(const Help& help) {
  std::string out = ".\\\" Written by the program from its own help (leverwright \\-\\-manual\\-page).\n";
  out += ".TH LEVERWRIGHT 1 \"\" " + quoted("leverwright " + help.version) + " \"User Commands\"\n";
  const auto colon = help.about.find(": "), end = help.about.find_first_of(".\n");
  out += ".SH NAME\nleverwright \\- " + plain(help.about.substr(colon + 2, end - colon - 2)) + "\n";
  out += ".SH SYNOPSIS\n.B leverwright\n\\fIVERB\\fR [options] ...\n";
  out += ".SH DESCRIPTION\n" + paragraphs(help.about);
  out += ".SH OPTIONS OF EVERY VERB\n";
  for (const auto& o : help.options) out += write_option(o);
  out += ".SH VERBS\n";
  for (const auto& verb : help.verbs) {
    out += ".SS " + quoted(usage_of(verb)) + "\n" + plain(verb.about) + "\n";
    for (const auto& o : verb.options)
      if (o.names.empty() || o.names.front() != "--help") out += write_option(o);
    out += ".PP\n" + paragraphs(verb.closing);
  }
  out += ".SH NOTES\n" + paragraphs(help.closing);
  out += ".SH FILES\n.TP\n.I share/leverwright\n";
  out += plain(
      "Beside the program's bin: models/parts, models/materials and models/handbook, and cases, each a demo "
      "that "
      "can be copied. A path that begins with cases/ and is not there is looked for here.\n");
  return out;
}

std::string write_bash_completion(const Help& help) {
  std::vector<std::string> verbs;
  for (const auto& verb : help.verbs) verbs.push_back(verb.name);
  std::string values = value_cases(help.options, ""), options;
  for (const auto& verb : help.verbs) {
    values += value_cases(verb.options, verb.name);
    options += "    " + verb.name + ") words='" + joined(names_of(verb.options)) + " " +
               joined(names_of(help.options)) + "' ;;\n";
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
         options + "    *) words='" + joined(names_of(help.options)) +
         "' ;;\n"
         "    esac\n"
         "  elif [[ -z $value && -z $verb ]]; then\n"
         "    words='" +
         joined(verbs) +
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

// page: the bench in one page, with a case in it.
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "sim/base/program_files.h"
#include "sim/base/words.h"
#include "viz/app/verb_run.h"
#include "viz/table/json.h"

namespace leverwright::app {

namespace {

namespace fs = std::filesystem;

struct Request {
  std::string case_path, out;
};

constexpr const char* kCasePlace = "<script type=\"application/json\" id=\"case\">null</script>";

// The page as built (viz/page), without a case: LEVERWRIGHT_PAGE where it is set, else beside the installed program,
// else in the tree it was built from.
std::string read_template() {
  const char* set = std::getenv("LEVERWRIGHT_PAGE");
  const std::string installed = base::find_installed("page");
  const fs::path path = set != nullptr && *set != '\0' ? fs::path(set)
                        : installed.empty()            ? fs::path(LEVERWRIGHT_BUILT_PAGE)
                                                       : fs::path(installed) / "page.html";
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in || text.str().find(kCasePlace) == std::string::npos)
    throw base::UserError(
        "the page was not built with this program",
        "build it in the source tree: bash tests/install_packages.sh page && cmake --preset page && "
        "cmake --build --preset page");
  return text.str();
}

// As a text in a page's script: nothing in it may end the script.
std::string in_script(std::string text) {
  for (std::size_t at = text.find('<'); at != std::string::npos; at = text.find('<', at + 1))
    text.replace(at, 1, "\\u003c");
  return text;
}

// Part and material files that stand beside the case go into the page with it; one from elsewhere cannot be named
// there.
table::Json find_files(const case_file::CaseDescription& d) {
  std::map<std::string, std::string> ids;  // file, what asks for it
  for (const auto& [key, id] : d.choices)
    if (key.rfind("parts.", 0) == 0 || key.rfind("materials.", 0) == 0) ids[id] = key;
  for (const auto& set_up : d.set_ups)
    for (const auto& change : set_up.changes)
      if (const auto id = change.choices.find("id"); id != change.choices.end())
        ids[id->second] = "set-up \"" + set_up.name + "\"";
  table::Json out = table::Json::array();
  for (const auto& [id, asks] : ids) {
    if (!base::ends_with(id, ".toml")) continue;
    const fs::path path = fs::path(d.path).parent_path() / id;
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    if (!in || id.find_first_of("/\\") != std::string::npos)
      throw base::UserError(
          {{d.path, 0, "", fmt::format("{} is the file {}, which a page cannot hold", asks, id), "",
            "put the file beside the case and name it without a folder"}});
    out.push_back({{"name", id}, {"text", text.str()}});
  }
  return out;
}

int write_page(const Request& r, VerbRun& run) {
  std::string text = read_template();
  const std::string path = !r.out.empty()        ? r.out
                           : r.case_path.empty() ? "bench.html"
                                                 : case_name(r.case_path) + "_bench.html";
  if (!r.case_path.empty()) {
    const auto d = remedies::read_case(r.case_path);
    const table::Json content{
        {"name", fs::path(r.case_path).filename().string()}, {"text", d.text}, {"files", find_files(d)}};
    text.replace(text.find(kCasePlace), std::string(kCasePlace).size(),
                 "<script type=\"application/json\" id=\"case\">" + in_script(content.dump(0)) + "</script>");
  }
  check_new_files({path});
  const std::string folder = fs::path(path).parent_path().string();
  const OutputFolder made(folder.empty() ? "." : folder);
  run.open();
  write_text_file(path, text);
  run.say(fmt::format("{:.1f} MB, whole: it opens from a disk, an e-mail or a server, with no network.",
                      1e-6 * static_cast<double>(text.size())));
  run.keep(path);
  return run.end();
}

}  // namespace

void add_page(App& app) {
  Verb& verb = app.add(
      "page",
      "Write the bench in one page: the action to move by hand in any browser, with the same physics.",
      {"page cases/missed_heel/case.toml -o out/bench.html", "page -o out/blank_bench.html"});
  Request& r = verb.request(write_page);
  verb.add("CASE", "CASE", "Case file (.toml) to begin with.", &r.case_path,
           "none: the page begins with the bench sheet")
      .read();
  verb.add("-o,--out", "FILE", "Write this file.", &r.out, "NAME OF THE CASE_bench.html");
}

}  // namespace leverwright::app

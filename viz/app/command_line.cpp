#include "viz/app/command_line.h"

#include <csignal>
#include <exception>
#include <functional>
#include <string>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "viz/app/parse.h"
#include "viz/app/terminal.h"
#include "viz/app/verb_run.h"
#include "viz/app/verbs/list.h"

namespace leverwright::app {

namespace {

struct Common {
  bool force = false, quiet = false, progress = false;
  std::string colour = "auto";
  int width = 0;
};

void add_common(App& app, Common& to) {
  const auto add = [&](const char* name, const char* metavar, const char* text, Target target,
                       const char* standard = "") -> Option& {
    return app.options.emplace_back(Option{name, metavar, text, target, standard});
  };
  add("--quiet", "", "Print no table where a file holds it, and no talk; errors are always told.", &to.quiet);
  add("--force", "",
      "Replace files that were not written by leverwright, or were changed since; never one this run reads.",
      &to.force);
  add("--progress", "", "Show progress even where standard error is no terminal.", &to.progress);
  add("--width", "COLUMNS", "Make tables this wide, 80 to 240.", &to.width, "the terminal's own")
      .between(80, 240);
  add("--colour", "WHEN", "Use colour.", &to.colour, "auto").one_of({"auto", "always", "never"});
}

// A closed pipe and a limit on the size of files are told like a full disk, where they are met.
void ignore_broken_pipes() {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
}

int guarded(const std::function<int()>& work) {
  try {
    return work();
  } catch (const base::UserError& e) {
    write_error(e.what());
    return kUserError;
  } catch (const base::Unstable& e) {
    write_error(std::string("error: the computation did not hold: ") + e.what() +
                "\n    do this:  look at the part named there in the case file; leverwright read CASE shows "
                "what was understood\n");
    return kInternal;
  } catch (const std::exception& e) {
    write_error(std::string("error: the program failed: ") + e.what() +
                "\n    do this:  please report this with the case file; nothing you did is to blame\n");
    return kInternal;
  }
}

}  // namespace

int run_command_line(int argc, char** argv) {
  ignore_broken_pipes();
  return guarded([&] {
    App app;
    Common common;
    add_common(app, common);
    add_verbs(app);
    const Parsed parsed = parse(app, argc, argv);
    if (parsed.verb == nullptr) {
      write_result(parsed.text);
      return kDone;
    }
    base::guard_outputs(common.force);
    for (const std::string& path : parsed.reads) base::note_input(path);
    const Terminal terminal = find_terminal(common.colour, common.width, common.quiet, common.progress);
    VerbRun run(terminal, parsed.verb->outputs);
    return parsed.verb->run(run);
  });
}

}  // namespace leverwright::app

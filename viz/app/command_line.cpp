#include "viz/app/command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <csignal>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <functional>
#include <iostream>

#include "models/case/nearest.h"
#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/program_files.h"
#include "sim/base/version.h"
#include "viz/app/bench_verbs.h"
#include "viz/app/calibrate_verb.h"
#include "viz/app/describe_help.h"
#include "viz/app/feel_verb.h"
#include "viz/app/keyboard_verb.h"
#include "viz/app/misadjust_verb.h"
#include "viz/app/repeat_verb.h"
#include "viz/app/verbs.h"

namespace leverwright::app {

namespace {

constexpr const char* kAbout =
    "Leverwright: what a change to a grand piano's action does, before a hole is drilled.\n"
    "Reads a case file with the bench measurements of one note, regulates and weighs each set-up, and "
    "compares them.";

constexpr const char* kClosing =
    "\nExit codes\n"
    "  0  done\n"
    "  1  something you can put right: command line, case file, folder, or the set-up asked for cannot be\n"
    "     regulated or weighed (no output file is left)\n"
    "  2  stopped by Ctrl-C; finished set-ups are kept\n"
    "  3  the computation did not hold or the program failed; what was finished is kept\n\n"
    "Results go to standard output, talk and errors to standard error. \"leverwright VERB --help\" shows an "
    "example.\n"
    "Colour only on a terminal, and never with NO_COLOR set. LEVERWRIGHT_MODELS names another folder of "
    "parts and materials.";

struct Words {
  bool force = false;
  std::string colour = "auto", case_path, study_path, out, set_up, policy, csv, commit;
  int width = 0;
  bool uncertainty = false;
  bool prior_only = false;
  bool quiet = false, progress = false, no_uncertainty = false, no_pictures = false, no_touches = false;
  CompareRequest compare;
  MeasurementsRequest measurements;
  RepeatRequest repeat;
  FeelRequest feel;
  FilmWords film;
  KeyboardRequest keyboard;
  MisadjustRequest misadjust;
  ReportWords report;
  PartsOrder parts;
  SeekOrder seek;
  ExportWords export_;
  PlayRequest play;
  SheetRequest sheet;
  OrderRequest order;
};

using Verb = std::function<int(const Terminal&)>;

CLI::App* add_verb(CLI::App& app, const std::string& name, const std::string& about,
                   const std::string& example) {
  CLI::App* verb = app.add_subcommand(name, about);
  verb->footer("\nExample\n  " + example);
  return verb;
}

// cases/... that is not below the current folder means the cases installed with the program.
std::string find_file(const std::string& path) {
  if (path.rfind("cases/", 0) != 0 || std::filesystem::exists(path)) return path;
  const std::string cases = base::find_installed("cases");
  const std::string there = cases + path.substr(5);
  return !cases.empty() && std::filesystem::exists(there) ? there : path;
}

void add_case(CLI::App* verb, std::string& to) {
  verb->add_option("CASE", to, "case file (.toml)")->required()->transform(find_file, "", "");
}

void add_set_up(CLI::App* verb, Words& w, const std::string& otherwise) {
  verb->add_option("--set-up", w.set_up, "name of the set-up (" + otherwise + " when left out)");
}

void add_prior_only(CLI::App* verb, bool& to) {
  verb->add_flag(
      "--prior-only", to,
      "leave frictions and constants as case and materials give them; readings as found are compared only");
}

// Every option of the verb and of the whole program.
std::vector<std::string> known_options(const CLI::App& app) {
  std::vector<std::string> names;
  const auto take = [&](const CLI::App& from) {
    for (const CLI::Option* option : from.get_options())
      for (const auto& name : option->get_lnames()) names.push_back("--" + name);
  };
  take(app);
  for (const CLI::App* verb : app.get_subcommands()) take(*verb);
  return names;
}

// What CLI11 found wrong, in our words.
base::UserError explain(const CLI::App& app, const CLI::ParseError& error, int argc, char** argv) {
  std::vector<std::string> verbs;
  for (const CLI::App* verb : app.get_subcommands([](const CLI::App*) { return true; }))
    verbs.push_back(verb->get_name());
  std::string all;
  for (const auto& v : verbs) all += (all.empty() ? "" : ", ") + v;
  const auto chosen = app.get_subcommands();
  const std::string help =
      chosen.empty() ? "leverwright --help" : "leverwright " + chosen.front()->get_name() + " --help";

  if (chosen.empty()) {
    std::string word;
    for (int k = 1; k < argc && word.empty(); ++k) {
      const std::string before = argv[k - 1];
      if (argv[k][0] != '-' && before != "--width" && before != "--colour") word = argv[k];
    }
    if (word.empty())
      return base::UserError({base::Problem{"", 0, "", "no verb is given", "one of " + all, help}});
    const std::string near = case_file::nearest_word(word, verbs);
    return base::UserError(
        {base::Problem{"", 0, "", "unknown verb \"" + word + "\"", "one of " + all,
                       near.empty() ? help : "did you mean \"leverwright " + near + "\"?"}});
  }
  const auto known = known_options(app);
  for (int k = 1; k < argc; ++k) {
    std::string word = argv[k];
    word.resize(std::min(word.size(), word.find('=')));
    if (word.rfind("--", 0) != 0 || std::find(known.begin(), known.end(), word) != known.end()) continue;
    const std::string near = case_file::nearest_word(word, known);
    return base::UserError(
        {base::Problem{"", 0, "", "unknown option \"" + word + "\"", "",
                       near.empty() ? help : "did you mean " + near + "?  Otherwise: " + help}});
  }
  return base::UserError({base::Problem{"", 0, "", error.what(), "", help}});
}

// Values no option has a use for.
void check_values(const CLI::App& app) {
  const auto check = [](const CLI::App& from) {
    for (const CLI::Option* option : from.get_options())
      for (const std::string& value : option->results()) {
        const std::string name = option->get_name();
        const std::string help = "leverwright " + from.get_name() + " --help";
        if (value.empty())
          throw base::UserError({base::Problem{"", 0, "", name + " is given, but empty", "",
                                               "leave it out, or give a value: " + help}});
        if (option->get_type_name().find("FLOAT") != std::string::npos &&
            !std::isfinite(std::strtod(value.c_str(), nullptr)))
          throw base::UserError(
              {base::Problem{"", 0, "", name + " " + value + ": this is no finite number", "", help}});
      }
  };
  check(app);
  for (const CLI::App* verb : app.get_subcommands()) check(*verb);
}

// Every file named to be read: no output takes its place.
void note_inputs(const CLI::App& app) {
  for (const CLI::App* verb : app.get_subcommands())
    for (const CLI::Option* option : verb->get_options()) {
      const std::string name = option->get_name();
      const bool read = option->get_positional() || name == "--history" || name == "--notes" ||
                        name == "--read" || name == "--film";
      if (read)
        for (const std::string& value : option->results()) base::note_input(value);
    }
}

// A closed pipe and a limit on the size of files are told like a full disk, where they are met.
void ignore_broken_pipes() {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
}

int run(Words& w, const Verb& verb) {
  const Terminal terminal = find_terminal(w.colour, w.width, w.quiet, w.progress);
  try {
    return verb(terminal);
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
  Words w;
  Verb chosen;
  CLI::App app(kAbout, "leverwright");
  app.set_version_flag("--version", std::string("leverwright ") + base::kVersion);
  app.footer(kClosing);
  app.require_subcommand(1);
  app.fallthrough();
  app.add_flag("--quiet", w.quiet, "no table where a file holds it, no talk; errors are always told");
  app.add_flag(
      "--force", w.force,
      "replace files that were not written by leverwright, or were changed since; never one this run reads");
  app.add_flag("--progress", w.progress, "show progress even where standard error is no terminal");
  app.add_option("--width", w.width, "columns of the tables (80 to 240); the terminal's own when left out")
      ->check(CLI::Range(80, 240));
  app.add_option("--colour", w.colour, "auto, always or never")
      ->check(CLI::IsMember({"auto", "always", "never"}));

  CLI::App* compare =
      add_verb(app, "compare", "regulate, weigh and compare every set-up; store, tabulate and draw",
               "leverwright compare cases/missed_heel/case.toml --out out/missed_heel\n"
               "  leverwright compare my_piano.toml --out out/mine --csv out/mine/numbers.csv");
  add_case(compare, w.compare.case_path);
  add_prior_only(compare, w.compare.prior_only);
  compare->add_option("--out", w.compare.out,
                      "folder for results and pictures (out/NAME OF THE CASE when left out)");
  compare->add_flag("--no-uncertainty", w.no_uncertainty, "leave out the +- (faster)");
  compare
      ->add_option("--monte-carlo", w.compare.samples,
                   "also draw every uncertain input N times and solve each time (10 to 100000)")
      ->check(CLI::Range(10, 100000));
  compare->add_option("--seed", w.compare.seed, "of these draws: the same seed gives the same numbers (1)");
  compare->add_flag("--no-touches", w.no_touches, "play no touches (faster)");
  compare->add_flag("--all", w.compare.all, "every touch played in the table, not only mf");
  compare->add_flag("--no-pictures", w.no_pictures, "leave out the pictures");
  compare->add_option("--json", w.compare.json,
                      "also write everything as JSON to this file; - for standard output");
  compare->add_option("--csv", w.compare.csv,
                      "also write every number as CSV to this file; - for standard output");
  compare->callback([&] {
    chosen = [&](const Terminal& t) {
      w.compare.uncertainty = !w.no_uncertainty;
      w.compare.touches = !w.no_touches;
      w.compare.pictures = !w.no_pictures;
      return run_compare(w.compare, t);
    };
  });

  CLI::App* weigh = add_verb(app, "weigh", "one set-up: weights, where the friction is, where surfaces rub",
                             "leverwright weigh cases/missed_heel/case.toml --set-up \"capstan relocated\"");
  add_case(weigh, w.case_path);
  add_prior_only(weigh, w.prior_only);
  add_set_up(weigh, w, "the base");
  weigh->callback(
      [&] { chosen = [&](const Terminal& t) { return run_weigh(w.case_path, w.set_up, w.prior_only, t); }; });

  CLI::App* regulate = add_verb(
      app, "regulate", "the three regulation policies side by side: what dip, blow and aftertouch result",
      "leverwright regulate cases/missed_heel/case.toml --set-up \"heel build-up\"");
  add_case(regulate, w.case_path);
  regulate->add_option("--policy", w.policy, "only this one, such as \"keep dip and blow\"");
  add_set_up(regulate, w, "all");
  regulate->callback(
      [&] { chosen = [&](const Terminal& t) { return run_regulate(w.case_path, w.policy, w.set_up, t); }; });

  CLI::App* play = add_verb(
      app, "play", "strokes of a finger, a record or a weight: what happens when, and what goes wrong",
      "leverwright play cases/missed_heel/case.toml --set-up \"as found\" --touch p mf f\n"
      "  leverwright play my_piano.toml --touch mf f --how struck --out out/struck\n"
      "  leverwright play my_piano.toml --history stroke.csv --cut-off 120\n"
      "  leverwright play my_piano.toml --weight \"250 g\" --from \"12 mm\"");
  add_case(play, w.play.case_path);
  play->add_option("--touch", w.play.touches,
                   "pp, p, mf, f, ff: one or more (all when left out and nothing else is to be played)");
  play->add_option("--how", w.play.how,
                   "pressed (a bare force), struck (a finger from above), finger (the same finger from the "
                   "key's surface): one or more (pressed when left out)");
  play->add_option("--history", w.play.history,
                   "play a record: CSV with the columns time and force or dip, or FILE.h5:/group");
  play->add_option("--use", w.play.use, "force or dip, where the record has both");
  play->add_option("--cut-off", w.play.cut_off,
                   "of the record's smoothing, in Hz (300 for force, 100 for dip)")
      ->check(CLI::Range(5.0, 2000.0));
  play->add_option("--weight", w.play.weight, "drop this weight on the key, such as \"250 g\"");
  play->add_option("--from", w.play.from, "from this height above it, such as \"12 mm\"");
  play->add_option("--out", w.play.out, "folder for a results file and pictures (none when left out)");
  play->add_option("--json", w.play.json,
                   "also write everything as JSON to this file; - for standard output");
  play->add_option("--csv", w.play.csv, "also write every number as CSV to this file; - for standard output");
  play->add_option("--set-up", w.play.set_up, "name of the set-up (the base when left out)");
  play->callback([&] { chosen = [&](const Terminal& t) { return run_play(w.play, t); }; });

  CLI::App* repeat =
      add_verb(app, "repeat", "how fast each set-up repeats a note, and what holds it back",
               "leverwright repeat cases/missed_heel/case.toml --out out/repetition\n"
               "  leverwright repeat my_piano.toml --set-up \"heel build-up\" --partial 0.5 --csv rates.csv");
  add_case(repeat, w.repeat.case_path);
  repeat->add_option("--set-up", w.repeat.set_up,
                     "name of a set-up: the base and this one (all when left out)");
  repeat->add_option("--out", w.repeat.out, "folder for the results file and the chart (none when left out)");
  repeat->add_option("--from", w.repeat.options.slowest, "slowest rate, strokes a second")
      ->capture_default_str();
  repeat->add_option("--to", w.repeat.options.fastest, "fastest rate")->capture_default_str();
  repeat->add_option("--step", w.repeat.options.step, "between two rates")->capture_default_str();
  repeat->add_option("--partial", w.repeat.options.partial, "partial return of the finger, share of the dip")
      ->capture_default_str();
  repeat->add_option("--seed", w.repeat.options.seed, "of the jitter")->capture_default_str();
  repeat->add_flag("!--no-why", w.repeat.options.why, "leave out what moves the limits (faster)");
  repeat->add_flag("!--no-pictures", w.repeat.pictures, "leave out the chart");
  repeat->add_option("--json", w.repeat.json,
                     "also write everything as JSON to this file; - for standard output");
  repeat->add_option("--csv", w.repeat.csv,
                     "also write every number as CSV to this file; - for standard output");
  repeat->callback([&] { chosen = [&](const Terminal& t) { return run_repeat(w.repeat, t); }; });

  CLI::App* feel = add_verb(
      app, "feel",
      "what the finger meets: reflected mass, let-off, force for given key motions, friction while playing",
      "leverwright feel cases/missed_heel/case.toml --set-up \"capstan relocated\" --out out/feel");
  add_case(feel, w.feel.case_path);
  feel->add_option("--set-up", w.feel.set_up, "name of a set-up: the base and this one (all when left out)");
  feel->add_option("--out", w.feel.out, "folder for the charts (none when left out)");
  feel->add_option("--json", w.feel.json,
                   "also write everything as JSON to this file; - for standard output");
  feel->add_option("--csv", w.feel.csv, "also write every number as CSV to this file; - for standard output");
  feel->callback([&] { chosen = [&](const Terminal& t) { return run_feel(w.feel, t); }; });

  CLI::App* misadjust = add_verb(
      app, "misadjust", "what each regulation setting does when it is a few tenths of a millimetre off",
      "leverwright misadjust cases/missed_heel/case.toml --out out/misadjust\n"
      "  leverwright misadjust my_piano.toml --amount 0.2 --no-repetition --csv settings.csv");
  add_case(misadjust, w.misadjust.case_path);
  misadjust->add_option("--set-up", w.misadjust.set_up, "name of the set-up (the base when left out)");
  misadjust->add_option("--amount", w.misadjust.amounts,
                        "mm, each both ways; one or more (0.1 to 0.5 in tenths when left out)");
  misadjust->add_option("--out", w.misadjust.out,
                        "folder for the results file and the chart (none when left out)");
  misadjust->add_flag("--all", w.misadjust.all,
                      "every amount in the table, not only the least and the greatest");
  misadjust->add_flag("!--no-repetition", w.misadjust.repetition, "leave out the repetition rate (faster)");
  misadjust->add_flag("!--no-pictures", w.misadjust.pictures, "leave out the chart");
  misadjust->add_option("--json", w.misadjust.json,
                        "also write everything as JSON to this file; - for standard output");
  misadjust->add_option("--csv", w.misadjust.csv,
                        "also write every number as CSV to this file; - for standard output");
  misadjust->callback([&] { chosen = [&](const Terminal& t) { return run_misadjust(w.misadjust, t); }; });

  CLI::App* read = add_verb(app, "read", "check a case file and say what was understood of it",
                            "leverwright read cases/missed_heel/case.toml");
  add_case(read, w.case_path);
  add_prior_only(read, w.prior_only);
  read->callback([&] { chosen = [&](const Terminal& t) { return run_read(w.case_path, w.prior_only, t); }; });

  CLI::App* draw = add_verb(app, "draw", "draw the pictures of a stored study",
                            "leverwright draw out/missed_heel/missed_heel.h5 --out pictures");
  draw->add_option("STUDY", w.study_path, "results file (.h5)")->required();
  draw->add_option("--out", w.out, "folder for the pictures (named like the study when left out)");
  draw->callback([&] { chosen = [&](const Terminal& t) { return run_draw(w.study_path, w.out, t); }; });

  CLI::App* film =
      add_verb(app, "film", "a slow-motion clip of a stored stroke, one set-up or two, for any browser",
               "leverwright film out/missed_heel/missed_heel.h5 --stroke mf --set-up \"as found\" --beside "
               "\"heel re-glued\"\n"
               "  leverwright film study.h5 --stroke p --ghost \"capstan relocated\" --slow 100 --out "
               "clips/ghost.mp4");
  film->add_option("STUDY", w.film.study_path, "results file (.h5)")->required();
  film->add_option("--stroke", w.film.stroke, "name of the stored stroke (mf)");
  film->add_option("--set-up", w.film.set_up, "name of the set-up (the base when left out)");
  film->add_option("--beside", w.film.beside, "a second set-up, shown to the right on the same clock");
  film->add_option("--ghost", w.film.ghost, "a second set-up, its outlines drawn over the first");
  film->add_option("--slow", w.film.slow, "how many times slower than life (50)");
  film->add_option("--rate", w.film.rate, "frames per second (30)");
  film->add_option("--size", w.film.size, "pixels, such as 1280x720");
  film->add_option("--from", w.film.from,
                   "first moment, ms on the stroke's clock (10 ms before the key starts)");
  film->add_option("--to", w.film.to, "last moment, ms (20 ms after the check)");
  film->add_flag("--whole", w.film.whole, "go on until the key is back");
  film->add_option("--out", w.film.out,
                   "film to write, .mp4, .webm or .ogv (beside the study when left out)");
  film->add_option("--frames", w.film.frames, "also write every frame as PNG into this folder");
  film->add_flag("--no-film", w.film.no_film, "frames only");
  film->callback([&] { chosen = [&](const Terminal& t) { return run_film(w.film, t); }; });

  CLI::App* report = add_verb(app, "report", "one HTML file about a study, to open offline, print or send",
                              "leverwright report out/missed_heel/missed_heel.h5 --for customer\n"
                              "  leverwright report study.h5 -o report.html --for training --film clip.mp4");
  report->add_option("STUDY", w.report.study_path, "results file (.h5)")->required();
  report->add_option("-o,--out", w.report.out,
                     "file to write (report_AUDIENCE.html beside the study when left out)");
  report->add_option("--for", w.report.audience, "customer, training or workshop (workshop when left out)")
      ->check(CLI::IsMember({"customer", "training", "workshop"}));
  report->add_option("--film", w.report.film, "a film to put in, made with leverwright film");
  report->add_flag("--no-film", w.report.no_film, "leave out the film");
  report->callback([&] { chosen = [&](const Terminal& t) { return run_report(w.report, t); }; });

  CLI::App* export_ = add_verb(app, "export", "a stored study for other programs: CSV, VTK and glTF",
                               "leverwright export out/missed_heel/missed_heel.h5 --out exported\n"
                               "  leverwright export study.h5 --stroke mf --set-up \"as found\" --kind gltf");
  export_->add_option("STUDY", w.export_.study_path, "results file (.h5)")->required();
  export_->add_option("--out", w.export_.out, "folder for the files (STUDY_export when left out)");
  export_->add_option("--stroke", w.export_.stroke, "name of the stored stroke (mf)");
  export_->add_option("--set-up", w.export_.set_up, "name of the set-up (the base when left out)");
  export_->add_option("--kind", w.export_.kinds, "csv, vtk, gltf: one or more (all when left out)")
      ->check(CLI::IsMember({"csv", "vtk", "gltf"}));
  export_->add_option("--every", w.export_.every, "ms between poses of the moving action (1)");
  export_->callback([&] { chosen = [&](const Terminal& t) { return run_export(w.export_, t); }; });

  CLI::App* check = add_verb(app, "check", "hold a results file against its written standard",
                             "leverwright check out/missed_heel/missed_heel.h5");
  check->add_option("STUDY", w.study_path, "results file (.h5)")->required();
  check->callback([&] { chosen = [&](const Terminal& t) { return run_check(w.study_path, t); }; });

  CLI::App* bands = add_verb(app, "bands", "one action against the ranges regulated grands fall in",
                             "leverwright bands cases/missed_heel/case.toml");
  add_case(bands, w.case_path);
  add_set_up(bands, w, "the base");
  bands->add_option("--csv", w.csv, "also write the table as CSV to this file; - for standard output");
  bands->add_flag("--uncertainty", w.uncertainty,
                  "carry the measurements' uncertainty through the strokes (some minutes)");
  bands->callback([&] {
    chosen = [&](const Terminal& t) { return run_bands(w.case_path, w.set_up, w.csv, w.uncertainty, t); };
  });

  CLI::App* validation =
      add_verb(app, "validation", "one action against everything published, as a page with curves",
               "leverwright validation cases/missed_heel/case.toml --out out/published.md");
  add_case(validation, w.case_path);
  add_set_up(validation, w, "the base");
  validation->add_option(
      "--out", w.out,
      "page to write (.md), with its pictures beside it; standard output, without, when left out");
  validation->add_option("--commit", w.commit, "commit of the program, to be named on the page");
  validation->add_flag("--no-uncertainty", w.no_uncertainty,
                       "leave out the uncertainty of the ranges' rows (most of the time)");
  validation->callback([&] {
    chosen = [&](const Terminal& t) {
      return run_validation(w.case_path, w.set_up, w.out, w.commit, w.no_uncertainty, t);
    };
  });

  const auto add_measurements = [&w](CLI::App* verb) {
    add_case(verb, w.measurements.case_path);
    verb->add_option(
            "MEASUREMENTS", w.measurements.measurements_path,
            "sample notes (.csv): note, set_up, down_weight [gf], up_weight [gf], dip, blow, let_off, "
            "aftertouch [mm], key_friction [gf], hammer_centre, wippen_centre [gf at 23 mm], "
            "hammer_swings, wippen_swings, or any value of the case")
        ->required()
        ->transform(find_file, "", "");
    verb->add_option("--out", w.measurements.out, "folder for the picture (none when left out)");
    verb->add_option("--json", w.measurements.json,
                     "also write everything as JSON to this file; - for standard output");
  };
  CLI::App* calibrate =
      add_verb(app, "calibrate", "frictions and cloth constants found from readings on sample notes",
               "leverwright calibrate cases/calibrate_sample_notes/case.toml "
               "cases/calibrate_sample_notes/measurements.csv");
  add_measurements(calibrate);
  calibrate->callback([&] { chosen = [&](const Terminal& t) { return run_calibrate(w.measurements, t); }; });

  CLI::App* afterwards =
      add_verb(app, "afterwards", "what was measured after the work against what was predicted",
               "leverwright afterwards cases/after_the_work/case.toml cases/after_the_work/measurements.csv");
  add_measurements(afterwards);
  afterwards->callback(
      [&] { chosen = [&](const Terminal& t) { return run_afterwards(w.measurements, t); }; });
  CLI::App* parts = add_verb(
      app, "parts", "two parts side by side: what each difference alone does, and all together",
      "leverwright parts cases/two_wippens/case.toml wippen wippen_twin_light wippen_twin_heavy\n"
      "  leverwright parts my_piano.toml hammer old_hammer.toml new_hammer.toml --by reflected_mass");
  add_case(parts, w.parts.case_path);
  parts->add_option("SLOT", w.parts.slot, "key, capstan, wippen, hammer or frame")->required();
  parts->add_option("A", w.parts.part_a, "part file's name, path of one (.toml), or a set-up of the case")
      ->required();
  parts->add_option("B", w.parts.part_b, "the other one")->required();
  parts->add_flag(
      "--repetition", w.parts.repetition,
      "also play rows of strokes with each: rates, least return, jack reset (one to two minutes)");
  parts->add_option("--by", w.parts.by,
                    "number the differences are ranked by (balance_weight when left out)");
  parts->add_option("--csv", w.parts.csv,
                    "also write every number as CSV to this file; - for standard output");
  parts->add_option("--json", w.parts.json,
                    "also write everything as JSON to this file; - for standard output");
  parts->callback([&] { chosen = [&](const Terminal& t) { return run_parts(w.parts, t); }; });

  CLI::App* seek = add_verb(app, "seek", "the amount of one or two changes that meets a target",
                            "leverwright seek cases/sought_heel/case.toml \"least slide friction\"");
  add_case(seek, w.seek.case_path);
  add_prior_only(seek, w.seek.prior_only);
  seek->add_option("NAME", w.seek.name, "which [[seek]] of the case (all when left out)");
  seek->add_option("--csv", w.seek.csv, "also write every number as CSV to this file; - for standard output");
  seek->add_option("--json", w.seek.json,
                   "also write everything as JSON to this file; - for standard output");
  seek->callback([&] { chosen = [&](const Terminal& t) { return run_seek(w.seek, t); }; });

  CLI::App* map = add_verb(app, "map", "numbers all over the amounts of a [[seek]], as data and picture",
                           "leverwright map cases/sought_heel/case.toml \"least slide friction\" --steps 21");
  add_case(map, w.seek.case_path);
  map->add_option("NAME", w.seek.name, "which [[seek]] of the case (all when left out)");
  map->add_option("--out", w.seek.out, "folder for data and pictures (out/NAME OF THE CASE when left out)");
  map->add_option("--steps", w.seek.steps, "values of each amount (17; 41 of a single one)")
      ->check(CLI::Range(2, 201));
  map->add_flag("--no-pictures", w.no_pictures, "leave out the pictures");
  map->callback([&] {
    chosen = [&](const Terminal& t) {
      w.seek.pictures = !w.no_pictures;
      return run_map(w.seek, t);
    };
  });

  CLI::App* keyboard = add_verb(
      app, "keyboard",
      "sample notes carried to all 88: one straight capstan line, leads or springs, and how sure that is",
      "leverwright keyboard cases/samples_to_88/case.toml --out out/keyboard\n"
      "  leverwright keyboard my_piano.toml --every 8 --no-uncertainty --csv notes.csv\n"
      "  leverwright keyboard my_piano.toml --note-case 16 C6 --out out/notes");
  add_case(keyboard, w.keyboard.case_path);
  keyboard->add_option("--out", w.keyboard.out,
                       "folder for the results file and the charts (none when left out)");
  keyboard->add_flag("--all", w.keyboard.all, "every note in the tables, not only each C and the samples");
  keyboard
      ->add_option("--every", w.keyboard.every, "run the model on every Nth note and the samples only (1)")
      ->check(CLI::Range(1, 44));
  keyboard->add_option(
      "--note-case", w.keyboard.note_cases,
      "write these notes (52, F#5, ...) as cases of their own into --out, to be played or compared; "
      "nothing else is done");
  keyboard->add_flag("!--no-uncertainty", w.keyboard.uncertainty,
                     "leave out how sure the model's answers are (faster)");
  keyboard->add_flag("!--no-pictures", w.keyboard.pictures, "leave out the charts");
  keyboard->add_option("--json", w.keyboard.json,
                       "also write everything as JSON to this file; - for standard output");
  keyboard->add_option("--csv", w.keyboard.csv,
                       "also write a line for each note as CSV to this file; - for standard output");
  keyboard->callback([&] { chosen = [&](const Terminal& t) { return run_keyboard(w.keyboard, t); }; });

  CLI::App* sheet = add_verb(
      app, "sheet", "a bench sheet to write the measurements on, and a filled one read back into a case",
      "leverwright sheet cases/work_order/case.toml --notes C4,G3 --out out/sheet\n"
      "  leverwright sheet cases/work_order/case.toml --read cases/work_order/filled.csv --out out/read");
  sheet->add_option("CASE", w.sheet.case_path, "case file (.toml); a sheet for any action when left out")
      ->transform(find_file, "", "");
  sheet
      ->add_option("--read", w.sheet.filled,
                   "filled sheet (.csv) to make a case of, in place of printing one")
      ->transform(find_file, "", "");
  sheet->add_option("--out", w.sheet.out, "folder to write into (out/NAME OF THE CASE when left out)");
  sheet->add_option("--notes", w.sheet.notes, "names of the sample notes, commas between them, four at most");
  sheet->add_option("--paper", w.sheet.paper, "A4 (when left out) or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}));
  sheet->add_flag("--blank", w.sheet.blank, "do not fill in what the case knows");
  sheet->add_flag("--parts", w.sheet.parts, "with the page of positions and the heel's trace");
  sheet->add_flag("--no-uncertainty", w.no_uncertainty, "do not work out which measurements matter most");
  sheet->add_option("--json", w.sheet.json,
                    "also write everything as JSON to this file; - for standard output");
  sheet->callback([&] {
    chosen = [&](const Terminal& t) {
      w.sheet.uncertainty = !w.no_uncertainty;
      return run_sheet(w.sheet, t);
    };
  });

  CLI::App* order = add_verb(
      app, "order", "work order for one set-up: marks, tolerances, steps, what must be found, when to stop",
      "leverwright order cases/work_order/case.toml \"capstan relocated\" --notes "
      "cases/work_order/before.csv");
  add_case(order, w.order.case_path);
  add_prior_only(order, w.order.prior_only);
  order->add_option("SET-UP", w.order.set_up, "name of the set-up to carry out")->required();
  order
      ->add_option("--notes", w.order.notes, "sample notes measured before the work (.csv, as for calibrate)")
      ->transform(find_file, "", "");
  order->add_option("--out", w.order.out, "folder to write into (out/NAME OF THE CASE when left out)");
  order->add_option("--paper", w.order.paper, "A4 (when left out) or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}));
  order->add_option("--weight", w.order.weight, "gf of down weight a tolerance may move (1)")
      ->check(CLI::Range(0.1, 10.0));
  order->add_option("--friction", w.order.friction, "gf of friction it may move (0.5)")
      ->check(CLI::Range(0.05, 10.0));
  order->add_option("--length", w.order.length, "mm of aftertouch or dip it may move (0.1)")
      ->check(CLI::Range(0.02, 2.0));
  order->add_option("--json", w.order.json,
                    "also write everything as JSON to this file; - for standard output");
  order->callback([&] { chosen = [&](const Terminal& t) { return run_order(w.order, t); }; });

  CLI::App* cautions =
      add_verb(app, "cautions", "dangers of the work and limits of the model", "leverwright cautions");
  cautions->callback([&] { chosen = [&](const Terminal& t) { return run_cautions(t); }; });

  const auto add_page = [&](const char* flag, std::string (*write)(const Help&)) {
    app.add_flag_callback(flag,
                          [&app, write] {
                            std::cout << write(describe(app, base::kVersion));
                            throw CLI::Success();
                          })
        ->group("");  // for the installation; not in the help
  };
  add_page("--manual-page", write_manual_page);
  add_page("--bash-completion", write_bash_completion);

  ignore_broken_pipes();
  try {
    app.parse(argc, argv);
    check_values(app);
  } catch (const CLI::Success& e) {  // --help, --version
    app.exit(e);
    return kDone;
  } catch (const base::UserError& e) {
    write_error(e.what());
    return kUserError;
  } catch (const CLI::ParseError& e) {
    write_error(explain(app, e, argc, argv).what());
    return kUserError;
  }
  base::guard_outputs(w.force);
  note_inputs(app);
  return run(w, chosen);
}

}  // namespace leverwright::app

// A verb of the command line as plain data: its name, its words and options, what its run does. Each stands in
// one file of viz/app/verbs and is named in verbs/list.cpp; command line, help, manual page and completion are
// made from this alone.
//
//   struct Request {
//     std::string case_path, set_up;
//     int steps = 17;
//   };
//   int run(const Request& request, VerbRun& run) { ...; return run.end(); }
//
//   void add_verb_name(App& app) {
//     Verb& verb = app.add("verb-name", "Say in a sentence what it does.", {"verb-name cases/x/case.toml"});
//     Request& r = verb.request<Request>(run);
//     verb.add_case(r.case_path);
//     verb.add("--steps", "N", "Take N values of each amount.", &r.steps, "17").between(2, 201);
//     verb.add_csv();
//   }
#pragma once
#include <cstdint>
#include <deque>
#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <variant>
#include <vector>

namespace leverwright::app {

class VerbRun;

// Where the value goes; a bool is a flag without value.
using Target = std::variant<bool*, int*, std::uint64_t*, double*, std::string*, std::vector<double>*,
                            std::vector<std::string>*>;

struct Option {
  std::string name;     // "--out"; "-o,--out"; a word by its place: "CASE"
  std::string metavar;  // what stands for the value in the help; "" for a flag
  std::string about;    // imperative sentence
  Target to;
  std::string standard;                   // what holds when it is left out; "" where nothing needs saying
  std::vector<std::string> choices = {};  // empty: free
  double low = -std::numeric_limits<double>::infinity(), high = std::numeric_limits<double>::infinity();
  bool required = false;
  bool reads =
      false;         // names a file to be read: cases/... is found beside the program, no output replaces it
  bool off = false;  // a flag that sets its bool to false

  bool by_place() const { return name.front() != '-'; }
  Option& between(double from, double to_) {
    low = from;
    high = to_;
    return *this;
  }
  Option& one_of(std::vector<std::string> words) {
    choices = std::move(words);
    return *this;
  }
  Option& needed() {
    required = true;
    return *this;
  }
  Option& read() {
    reads = true;
    return *this;
  }
};

// What the options of a verb ask to be written; VerbRun keeps to it.
struct Outputs {
  std::string out;        // folder; "": the verb's own, or none
  std::string json, csv;  // "": none; "-": standard output in place of the table
  bool charts = false;    // the verb draws charts, which need their tools
  bool pictures = true;   // they are wanted
  bool all = false;       // details in the tables as well
};

struct Verb {
  std::string name, about;
  std::vector<std::string> examples;  // without the program's name
  std::deque<Option> options;         // their addresses stay
  bool daily = false;                 // one of those a technician needs
  Outputs outputs;
  std::function<int(VerbRun&)> run;

  // The request belongs to the verb; options are read into it.
  template <class Request>
  Request& request(int (*what)(const Request&, VerbRun&)) {
    auto kept = std::make_shared<Request>();
    run = [kept, what](VerbRun& r) { return what(*kept, r); };
    return *kept;
  }

  Option& add(const std::string& option, const std::string& metavar, const std::string& text, Target to,
              const std::string& standard = "") {
    options.push_back(Option{option, metavar, text, to, standard});
    return options.back();
  }
  // Sets the flag, or takes it away: "--no-touches".
  Option& add_flag(const std::string& option, const std::string& text, bool* to) {
    return add(option, "", text, to);
  }
  Option& add_off(const std::string& option, const std::string& text, bool* to) {
    Option& o = add(option, "", text, to);
    o.off = true;
    return o;
  }

  // What many verbs ask in the same words.
  void add_case(std::string& to);
  void add_study(std::string& to);
  void add_set_up(std::string& to, const std::string& standard);
  void add_prior_only(bool& to);
  void add_out(const std::string& text, const std::string& standard);
  void add_pictures(const std::string& text = "Leave out the pictures.");
  void add_csv(const std::string& what = "every number");
  void add_json();
  void add_all(const std::string& text);
};

struct App {
  std::deque<Verb> verbs;
  std::deque<Option> options;  // of every verb

  Verb& add(const std::string& name, const std::string& about, std::vector<std::string> examples) {
    Verb& verb = verbs.emplace_back();
    verb.name = name;
    verb.about = about;
    verb.examples = std::move(examples);
    return verb;
  }
};

}  // namespace leverwright::app

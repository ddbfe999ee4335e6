// film: a slow-motion clip of a stored stroke.
#include "viz/film/film.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <memory>
#include <tuple>
#include <utility>

#include "sim/base/error.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/app/words.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path, out, frames, set_up, beside, ghost, stroke = "mf", size = "1280x720";
  double slow = 50, rate = 30, from = -1, to = -1;  // times; per second; ms
  bool whole = false, no_film = false, flat = false;
};

// "1280x720" and nothing else; 0 x 0 when it is not understood.
std::pair<int, int> read_size(const std::string& text) {
  int width = 0, height = 0;
  const char *from = text.data(), *end = from + text.size();
  const auto first = std::from_chars(from, end, width);
  if (first.ec != std::errc() || first.ptr == end || *first.ptr != 'x') return {0, 0};
  const auto second = std::from_chars(first.ptr + 1, end, height);
  if (second.ec != std::errc() || second.ptr != end) return {0, 0};
  return {width, height};
}

void check_name(const std::string& study, const char* option, const std::string& name,
                const std::vector<std::string>& known) {
  if (!name.empty() && std::find(known.begin(), known.end(), name) == known.end())
    throw unknown_word(study, fmt::format("there is no \"{}\" in this study", name), name, known, option);
}

film::FilmRequest read_request(const Request& r) {
  if (!r.beside.empty() && !r.ghost.empty())
    throw base::UserError("--beside and --ghost cannot both be asked for", "choose one of them");
  need_sound_study(r.study_path);
  const study_file::StoredStudy study(r.study_path);
  std::vector<std::string> set_ups;
  for (const study_file::SetUp& s : study.set_ups()) set_ups.push_back(s.name);
  check_name(r.study_path, "--set-up", r.set_up, set_ups);
  check_name(r.study_path, "--beside", r.beside, set_ups);
  check_name(r.study_path, "--ghost", r.ghost, set_ups);
  check_name(r.study_path, "--stroke", r.stroke, study_file::common_strokes(study));
  film::FilmRequest request;
  request.strokes.push_back(study_file::read_stroke(study, r.set_up, r.stroke));
  const std::string other = r.beside + r.ghost;
  if (!other.empty()) request.strokes.push_back(study_file::read_stroke(study, other, r.stroke));
  request.arrangement = !r.beside.empty()  ? film::Arrangement::kBeside
                        : !r.ghost.empty() ? film::Arrangement::kGhost
                                           : film::Arrangement::kAlone;
  request.title = request.strokes.front().label;
  if (!other.empty())
    request.title += (r.beside.empty() ? " and over it " : " and ") + request.strokes.back().label;
  request.stroke = r.stroke;
  request.slow = r.slow;
  request.rate = r.rate;
  request.whole = r.whole;
  request.flat = r.flat;
  request.from = r.from < 0 ? -1 : 1e-3 * r.from;
  request.to = r.to < 0 ? -1 : 1e-3 * r.to;
  std::tie(request.width, request.height) = read_size(r.size);
  if (request.width <= 0 || request.height <= 0)
    throw base::UserError("the size \"" + r.size + "\" is not understood", "write it like --size 1280x720");

  return request;
}

// Where the film goes, its kind being one that can be written here.
std::string film_path(const Request& r, const film::FilmRequest& request, VerbRun& run) {
  const std::string kind = film::find_film_kind();  // before any work
  if (!r.out.empty()) {
    const std::string path = film::find_film_path(r.out);
    if (path != r.out)
      run.say(
          fmt::format("ffmpeg cannot write {} here, for want of its encoder; the film is {}.", r.out, path));
    return path;
  }
  const std::string other = r.beside + r.ghost;
  const std::string name = "film_" + file_word(r.stroke) + "_" + file_word(request.strokes[0].set_up) +
                           (other.empty() ? "" : "_" + file_word(other)) + kind;
  return (std::filesystem::path(r.study_path).parent_path() / name).string();
}

int make_film(const Request& r, VerbRun& run) {
  const film::FilmRequest request = read_request(r);
  if (r.no_film && r.frames.empty())
    throw base::UserError("--no-film without --frames would write nothing", "name a folder with --frames");
  film::FilmFiles files;
  if (!r.no_film) files.film = film_path(r, request, run);
  const std::string folder = std::filesystem::path(files.film).parent_path().string();
  const OutputFolder film_folder(folder.empty() ? "." : folder);
  std::unique_ptr<OutputFolder> frames;
  if (!r.frames.empty()) {
    frames = std::make_unique<OutputFolder>(r.frames);
    files.frames = frames->path();
  }
  run.open();
  const film::Written written = film::write_film(request, files, run.reporter("film", "drawing frames"));
  run.clear_progress();
  const film::Span span = film::find_span(request);
  run.say(fmt::format("{} frames of {} x {}, {:.0f} to {:.0f} ms, {:g} times slower, {:.1f} s long",
                      written.frames, request.width, request.height, 1e3 * span.from, 1e3 * span.to,
                      request.slow, written.frames / request.rate));
  if (!written.flat_because.empty())
    run.say("The action is drawn flat, as this machine cannot draw it solid: " + written.flat_because);
  run.keep(written.files);
  return run.end(written.stopped ? fmt::format("after {} frames; what was drawn is kept.", written.frames)
                                 : "");
}

}  // namespace

void add_film(App& app) {
  Verb& verb = app.add(
      "film", "Make a slow-motion clip of a stored stroke, one set-up or two, for any browser.",
      {"film out/missed_heel/missed_heel.h5 --stroke mf --set-up \"as found\" --beside \"heel re-glued\"",
       "film study.h5 --stroke p --ghost \"capstan relocated\" --slow 100 --out clips/ghost.mp4"});
  Request& r = verb.request(make_film);
  verb.add_study(r.study_path);
  verb.add("--stroke", "NAME", "Show the stored stroke of this name.", &r.stroke, "mf");
  verb.add_set_up(r.set_up, "the base");
  verb.add("--beside", "NAME", "Show a second set-up to the right, on the same clock.", &r.beside);
  verb.add("--ghost", "NAME", "Draw a second set-up's outlines over the first.", &r.ghost);
  verb.add("--slow", "TIMES", "Run so many times slower than life.", &r.slow, "50");
  verb.add("--rate", "FRAMES", "Show so many frames a second.", &r.rate, "30");
  verb.add("--size", "PIXELS", "Make frames of this size.", &r.size, "1280x720");
  verb.add("--from", "MS", "Begin at this moment of the stroke's clock.", &r.from,
           "10 ms before the key starts");
  verb.add("--to", "MS", "End at this moment.", &r.to, "20 ms after the check");
  verb.add_flag("--whole", "Go on until the key is back.", &r.whole);
  verb.add("--out", "FILE", "Write this film: .mp4, .webm or .ogv.", &r.out, "one beside the study");
  verb.add("--frames", "FOLDER", "Also write every frame as PNG into FOLDER.", &r.frames);
  verb.add_flag("--flat", "Draw the action flat, as the pictures do, instead of solid.", &r.flat);
  verb.add_flag("--no-film", "Write frames only.", &r.no_film);
}

}  // namespace leverwright::app

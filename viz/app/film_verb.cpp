// film: a slow-motion clip of a stored stroke.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <memory>
#include <tuple>
#include <utility>

#include "models/case/nearest.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/film/film.h"
#endif

namespace leverwright::app {

#ifdef LEVERWRIGHT_HAS_PICTURES
namespace {

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
  if (name.empty() || std::find(known.begin(), known.end(), name) != known.end()) return;
  std::string all;
  for (const auto& n : known) all += (all.empty() ? "\"" : ", \"") + n + "\"";
  const std::string near = case_file::nearest_word(name, known);
  throw base::UserError(
      {base::Problem{study, 0, "", fmt::format("there is no \"{}\" in this study", name),
                     all.empty() ? "a study that was played" : "one of " + all,
                     near.empty() ? "" : fmt::format("did you mean {} \"{}\"?", option, near)}});
}

}  // namespace

int run_film(const FilmWords& w, const Terminal& terminal) {
  if (!w.beside.empty() && !w.ghost.empty())
    throw base::UserError("--beside and --ghost cannot both be asked for", "choose one of them");
  need_sound_study(w.study_path);
  const film::FilmNames names = film::read_film_names(w.study_path);
  check_name(w.study_path, "--set-up", w.set_up, names.set_ups);
  check_name(w.study_path, "--beside", w.beside, names.set_ups);
  check_name(w.study_path, "--ghost", w.ghost, names.set_ups);
  check_name(w.study_path, "--stroke", w.stroke, names.strokes);
  film::FilmRequest request;
  request.strokes.push_back(film::read_film_stroke(w.study_path, w.set_up, w.stroke));
  const std::string other = w.beside + w.ghost;
  if (!other.empty()) request.strokes.push_back(film::read_film_stroke(w.study_path, other, w.stroke));
  request.arrangement = !w.beside.empty()  ? film::Arrangement::kBeside
                        : !w.ghost.empty() ? film::Arrangement::kGhost
                                           : film::Arrangement::kAlone;
  request.title = request.strokes.front().set_up;
  if (!other.empty()) request.title += (w.beside.empty() ? " and over it " : " and ") + other;
  request.stroke = w.stroke;
  request.slow = w.slow;
  request.rate = w.rate;
  request.whole = w.whole;
  request.from = w.from < 0 ? -1 : 1e-3 * w.from;
  request.to = w.to < 0 ? -1 : 1e-3 * w.to;
  std::tie(request.width, request.height) = read_size(w.size);
  if (request.width <= 0 || request.height <= 0)
    throw base::UserError("the size \"" + w.size + "\" is not understood", "write it like --size 1280x720");

  film::FilmFiles files;
  std::string folder;
  if (!w.no_film) {
    const std::string kind = film::find_film_kind();  // before any work
    files.film = w.out.empty() ? "" : film::find_film_path(w.out);
    if (files.film != w.out)
      say(terminal, fmt::format("ffmpeg cannot write {} here, for want of its encoder; the film is {}.",
                                w.out, files.film));
    if (files.film.empty()) {
      const auto path = std::filesystem::path(w.study_path);
      files.film =
          (path.parent_path() / ("film_" + file_word(w.stroke) + "_" + file_word(request.strokes[0].set_up) +
                                 (other.empty() ? "" : "_" + file_word(other)) + kind))
              .string();
    }
    folder = std::filesystem::path(files.film).parent_path().string();
  } else if (w.frames.empty()) {
    throw base::UserError("--no-film without --frames would write nothing", "name a folder with --frames");
  }
  const OutputFolder film_folder(folder.empty() ? "." : folder);
  std::unique_ptr<OutputFolder> frames;
  if (!w.frames.empty()) {
    frames = std::make_unique<OutputFolder>(w.frames);
    files.frames = frames->path();
  }
  catch_interrupts();
  Progress progress(terminal);
  const film::Written written = film::write_film(request, files, [&](double share) {
    progress.report("film", "drawing frames", share);
    return !interrupted();
  });
  progress.clear();
  if (written.stopped)
    say(terminal, fmt::format("Stopped after {} frames; what was drawn is kept.", written.frames));
  const film::Span span = film::find_span(request);
  say(terminal, fmt::format("{} frames of {} x {}, {:.0f} to {:.0f} ms, {:g} times slower, {:.1f} s long",
                            written.frames, request.width, request.height, 1e3 * span.from, 1e3 * span.to,
                            request.slow, written.frames / request.rate));
  if (written.files.size() <= 4) {
    say_written(written.files, terminal);
  } else {
    std::vector<std::string> shown(written.files.begin(),
                                   written.files.begin() + (files.film.empty() ? 0 : 1));
    shown.push_back(files.frames + fmt::format("/frame_00000.png to frame_{:05d}.png", written.frames - 1));
    say_written(shown, terminal);
  }
  return written.stopped ? kStopped : kDone;
}
#else
int run_film(const FilmWords& w, const Terminal&) {
  throw base::UserError("this program was built without pictures, so no film can be made of " + w.study_path,
                        "build with LEVERWRIGHT_VIZ=ON");
}
#endif

}  // namespace leverwright::app

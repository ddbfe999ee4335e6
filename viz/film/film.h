// Slow-motion clips of a stored stroke: one set-up, two side by side, or one drawn over the other, all on the
// finger's own clock, with force and slide running below.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "viz/study_file/motion.h"

namespace leverwright::film {

enum class Arrangement { kAlone, kBeside, kGhost };

struct FilmRequest {
  std::vector<study_file::StoredStroke> strokes;  // one, or two
  Arrangement arrangement = Arrangement::kAlone;
  std::string title, stroke;
  double slow = 50;                // times slower than life
  double rate = 30;                // frames per second
  int width = 1280, height = 720;  // pixels, even
  bool whole = false;              // to the key's return; else to the check
  bool flat = false;               // the flat drawing instead of solid bodies in light
  double from = -1, to = -1;       // s on the stroke's clock; negative: found from the events
};

// The stretch of time shown: asked for, or from 10 ms before the key starts to 20 ms after the last check (or
// 60 ms after the string; with `whole` to 20 ms after the key is back; repeated strokes to their end).
struct Span {
  double from = 0, to = 0;
};
Span find_span(const FilmRequest& request);
int count_frames(const FilmRequest& request);
double time_of_frame(const FilmRequest& request, int frame);

// Page of a frame, mm; width follows the picture's proportions.
inline constexpr double kPageHeight = 144;
double page_width(const FilmRequest& request);

// Page of a still for paper: as wide as the text of an A4 page, words of 7 point and more.
inline constexpr double kStillWidth = 178;

// Everything that stays the same from frame to frame.
class FilmScene {
 public:
  explicit FilmScene(const FilmRequest& request);
  scene::Scene build(double t) const;
  // One moment for a printed page, kStillWidth wide and as high as its view: the actions with heel and
  // knuckle enlarged in a row above each, without the curves; `words` beside the time.
  scene::Scene build_still(double t, const std::string& words) const;
  // Where the actions stand on the page of a film, in build()'s order.
  struct Window {
    size_t stroke = 0;
    scene::Box on_page, view;  // mm on the page (margins left out), mm of the action
  };
  std::vector<Window> windows() const;
  // The bodies are drawn by somebody else, below what build() draws.
  void leave_bodies_out() { bodies_ = false; }
  double force_scale() const { return force_scale_; }  // mm of the action plane per newton

 private:
  struct Strip {
    std::string title;
    scene::Box box;  // mm on the page
    double low = 0, high = 1, step = 1;
    std::vector<std::vector<double>> values;  // per stroke, in the unit of the title
  };
  void add_action(size_t which, const scene::Box& to, double t, bool still, scene::Scene* out) const;
  void add_close_ups(size_t which, const scene::Box& panel, const scene::ActionMoment& moment,
                     const scene::ActionMoment* ghost_moment, const scene::ActionSceneOptions& options,
                     bool still, scene::Scene* out) const;
  double still_floor() const;
  void add_force_keys(double x, double scale, scene::Scene* out) const;
  void add_strip(const Strip& strip, double t, scene::Scene* out) const;
  scene::Box view_in(const scene::Box& to) const;
  const FilmRequest& request_;
  bool bodies_ = true;
  Span span_;
  double force_scale_ = 1, trace_high_ = 1;
  std::vector<std::vector<scene::WornPath>> worn_;  // per stroke
  scene::Box view_;                                 // of the action plane, mm
  std::vector<Strip> strips_;
};

// A window in which the stroke is watched (viz/vtk/watch_window.h); how many pictures it showed. It closes by itself
// after so many seconds, 0: by hand. UserError without a display.
long watch_strokes(const FilmRequest& request, double close_after);

// What a film shows, in a sentence. It stands in the film's own file as well, so that no page has to guess.
std::string describe(const FilmRequest& request);
std::string as_comment(const std::string& words);
// The sentence out of the bytes of a film; "" where it carries none.
std::string find_words(const std::string& bytes);

struct FilmFiles {
  std::string film;    // .mp4, .webm or .ogv; empty: none
  std::string frames;  // folder for frame_00000.png ...; empty: none
};

// Which kind ffmpeg can write here: ".mp4" when it has an H.264 encoder, else a free one, ".webm" (VP9, VP8)
// or
// ".ogv" (Theora); UserError with what to install when ffmpeg is missing or has none of them.
// LEVERWRIGHT_FFMPEG names another program.
std::string find_film_kind();
// The path to write to when `path` is wanted: the same where ffmpeg can write that kind, else with the ending
// of find_film_kind(). Endings it does not know are left for the encoder to refuse.
std::string find_film_path(const std::string& path);

// Draws all frames; returns what it wrote. The film is written under a temporary name (".part" before the
// ending) and renamed when it is whole. `progress` is told the share done; when it returns false the film is
// ended there, kept as it is under its own name, and `stopped` set.
struct Written {
  std::vector<std::string> files;
  int frames = 0;
  bool stopped = false;
  std::string flat_because;  // why solid bodies could not be drawn, where they were wanted
};
Written write_film(const FilmRequest& request, const FilmFiles& files,
                   const std::function<bool(double share)>& progress = {});

}  // namespace leverwright::film

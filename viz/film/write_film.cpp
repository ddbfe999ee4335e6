#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <memory>

#include "sim/base/error.h"
#include "viz/film/encoder.h"
#include "viz/film/film.h"
#include "viz/paper/raster.h"
#include "viz/scene/output_file.h"
#include "viz/vtk/solid_picture.h"

namespace leverwright::film {
namespace {

constexpr double kMargin = 4;  // mm, of a page that is laid out

// The actions as solid bodies in their windows; none where the machine cannot draw them, or none are wanted.
class SolidWindows {
 public:
  SolidWindows(const FilmRequest& request, FilmScene* scenes) : request_(request) {
    if (request.flat) return;
    const double per_mm = request.height / kPageHeight;
    try {
      for (const FilmScene::Window& w : scenes->windows()) {
        vtk::SolidLook look;
        look.view = w.view;
        pictures_.push_back({w, static_cast<int>(std::lround(per_mm * w.on_page.width())),
                             static_cast<int>(std::lround(per_mm * w.on_page.height())), nullptr});
        Picture& p = pictures_.back();
        p.solids = std::make_unique<vtk::SolidPicture>(request.strokes[w.stroke].motion.shape, p.width,
                                                       p.height, look);
      }
      scenes->leave_bodies_out();
    } catch (const base::UserError& error) {
      pictures_.clear();
      flat_because_ = error.what();
    }
  }
  const std::string& flat_because() const { return flat_because_; }

  std::vector<paper::Raster::Below> draw(double t) {
    std::vector<paper::Raster::Below> out;
    for (const Picture& p : pictures_) {
      const scene::ActionMoment moment = scene::find_moment(request_.strokes[p.window.stroke].motion, t, 1.0);
      const scene::Box& at = p.window.on_page;
      out.push_back({{at.x0 + kMargin, at.y0 + kMargin, at.x1 + kMargin, at.y1 + kMargin},
                     p.width,
                     p.height,
                     &p.solids->draw(moment)});
    }
    return out;
  }

 private:
  struct Picture {
    FilmScene::Window window;
    int width, height;
    std::unique_ptr<vtk::SolidPicture> solids;
  };
  const FilmRequest& request_;
  std::vector<Picture> pictures_;
  std::string flat_because_;
};

}  // namespace

Written write_film(const FilmRequest& request, const FilmFiles& files,
                   const std::function<bool(double share)>& progress) {
  if (request.strokes.empty() || request.strokes.size() > 2)
    throw base::UserError("a film shows one set-up or two");
  constexpr int kWidest = 7680, kHighest = 4320;
  if (request.width > kWidest || request.height > kHighest || request.width < 320 || request.height < 180 ||
      request.width % 2 != 0 || request.height % 2 != 0)
    throw base::UserError(
        fmt::format("a film of {} x {} pixels cannot be made", request.width, request.height),
        fmt::format("use even numbers, from 320 x 180 to {} x {}", kWidest, kHighest));
  if (!(request.slow > 0 && std::isfinite(request.slow)) || !(request.rate > 0 && request.rate <= 240))
    throw base::UserError("how slow must be a number over zero, frames a second over zero and at most 240");
  if (!std::isfinite(request.from) || !std::isfinite(request.to))
    throw base::UserError("the moments a film begins and ends must be numbers", "give them in ms");
  constexpr int kMost = 100000;
  const int frames = count_frames(request);
  if (frames > kMost)
    throw base::UserError(fmt::format("the film would have {} frames", frames),
                          fmt::format("at most {}: make it less slow or shorter", kMost));
  if (frames < 1)
    throw base::UserError("the film would have no frame", "let it end after it begins, within the stroke");
  std::unique_ptr<scene::OutputFile> film;
  std::unique_ptr<Encoder> encoder;
  if (!files.film.empty()) {
    film = std::make_unique<scene::OutputFile>(files.film);
    encoder = std::make_unique<Encoder>(film->part_path(), request.width, request.height, request.rate,
                                        as_comment(describe(request)));
  }
  FilmScene scenes(request);
  paper::Raster raster(request.width, request.height);
  scene::Page page;
  page.width_mm = page_width(request);
  page.height_mm = kPageHeight;
  SolidWindows solids(request, &scenes);
  Written out;
  out.flat_because = solids.flat_because();
  for (int k = 0; k < frames; ++k) {
    if (progress && !progress(static_cast<double>(k) / frames)) {
      out.stopped = true;
      break;
    }
    const double t = time_of_frame(request, k);
    raster.draw(scene::lay_out(scenes.build(t), page), solids.draw(t));
    if (!files.frames.empty()) {
      const std::string path = fmt::format("{}/frame_{:05d}.png", files.frames, k);
      raster.write_png(path);
      out.files.push_back(path);
    }
    if (encoder) encoder->add(raster.pixels());
    ++out.frames;
  }
  if (encoder && out.frames > 0) {
    encoder->finish();
    film->keep();
    // The encoder of a run that was killed may have opened its file again after it was taken away.
    scene::remove_stale_files(std::filesystem::absolute(files.film).parent_path().string());
    out.files.insert(out.files.begin(), files.film);
  }
  return out;
}

}  // namespace leverwright::film

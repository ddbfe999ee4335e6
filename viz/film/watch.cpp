#include "viz/film/film.h"
#include "viz/vtk/watch_window.h"

namespace leverwright::film {

long watch_strokes(const FilmRequest& request, double close_after) {
  const Span span = find_span(request);
  vtk::WatchRequest out;
  out.title = request.title;
  for (const study_file::StoredStroke& s : request.strokes) out.strokes.push_back({s.label, s.motion});
  for (const study_file::Event& e : request.strokes.front().events) out.events.push_back({e.name, e.time});
  out.from = span.from;
  out.to = span.to;
  out.slow = request.slow;
  out.width = request.width;
  out.height = request.height;
  out.close_after = close_after;
  return vtk::watch(out);
}

}  // namespace leverwright::film

#include "viz/vtk/triangles.h"

#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkPolygon.h>

#include <algorithm>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::vtk {
namespace {
using scene::Point;

void add_disc(const Point& centre, double radius, std::vector<Triangle>& out) {
  const std::vector<Point> rim =
      scene::Point(0, 0) == centre && radius <= 0 ? std::vector<Point>{} : circle_points(centre, radius);
  for (size_t i = 0; i < rim.size(); ++i) out.push_back({centre, rim[i], rim[(i + 1) % rim.size()]});
}

}  // namespace

std::vector<Point> circle_points(const Point& centre, double radius) {
  const int n = std::clamp(static_cast<int>(12 + 16 * radius), 12, 180);
  std::vector<Point> out;
  out.reserve(static_cast<size_t>(n));
  for (int i = 0; i < n; ++i) {
    const double t = 2 * base::kPi * i / n;
    out.push_back(centre + radius * Point(std::cos(t), std::sin(t)));
  }
  return out;
}

std::vector<std::vector<Point>> cut_dashes(const std::vector<Point>& points, bool closed,
                                           const std::vector<double>& dashes) {
  std::vector<Point> line = points;
  if (closed && !line.empty()) line.push_back(line.front());
  double period = 0;
  for (const double d : dashes) period += d;
  if (period <= 0 || line.size() < 2) return {line};

  std::vector<std::vector<Point>> pieces;
  size_t slot = 0;
  double left = dashes[0];
  std::vector<Point> piece{line[0]};
  for (size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = (line[i + 1] - line[i]).norm();
    double done = 0;
    while (length - done > left) {
      done += left;
      const Point cut = line[i] + (line[i + 1] - line[i]) * (done / length);
      if (slot % 2 == 0) {
        piece.push_back(cut);
        pieces.push_back(std::move(piece));
      }
      piece = {cut};
      slot = (slot + 1) % dashes.size();
      left = dashes[slot];
    }
    left -= length - done;
    if (slot % 2 == 0) piece.push_back(line[i + 1]);
  }
  if (slot % 2 == 0 && piece.size() > 1) pieces.push_back(std::move(piece));
  return pieces;
}

std::vector<Triangle> widen(const scene::DrawnPath& path) {
  std::vector<Triangle> out;
  if (!path.pen || path.points.size() < 2) return out;
  const double half = 0.5 * path.pen->width;
  const bool solid = path.pen->dashes.empty();
  for (const std::vector<Point>& piece : cut_dashes(path.points, path.closed, path.pen->dashes)) {
    for (size_t i = 0; i + 1 < piece.size(); ++i) {
      const Point along = piece[i + 1] - piece[i];
      if (along.norm() <= 0) continue;
      const Point side = base::perp(along).normalized() * half;
      out.push_back({piece[i] + side, piece[i] - side, piece[i + 1] - side});
      out.push_back({piece[i] + side, piece[i + 1] - side, piece[i + 1] + side});
    }
    const size_t first = solid ? 0 : 1, last = solid ? piece.size() : piece.size() - 1;
    for (size_t i = first; i < last; ++i) add_disc(piece[i], half, out);
  }
  return out;
}

std::vector<Triangle> fill_polygon(const std::vector<Point>& points) {
  std::vector<Point> ring;
  for (const Point& p : points)
    if (ring.empty() || (p - ring.back()).norm() > 1e-9) ring.push_back(p);
  while (ring.size() > 1 && (ring.front() - ring.back()).norm() <= 1e-9) ring.pop_back();
  std::vector<Triangle> out;
  if (ring.size() < 3) return out;
  vtkNew<vtkPolygon> polygon;
  const vtkIdType n = static_cast<vtkIdType>(ring.size());
  polygon->GetPoints()->SetNumberOfPoints(n);
  polygon->GetPointIds()->SetNumberOfIds(n);
  for (vtkIdType i = 0; i < n; ++i) {
    polygon->GetPoints()->SetPoint(i, ring[static_cast<size_t>(i)].x(), ring[static_cast<size_t>(i)].y(), 0);
    polygon->GetPointIds()->SetId(i, i);
  }
  vtkNew<vtkIdList> corners;  // ear cutting: concave outlines are filled rightly
  polygon->EarCutTriangulation(corners);
  for (vtkIdType i = 0; i + 2 < corners->GetNumberOfIds(); i += 3) {
    Triangle t;
    for (vtkIdType j = 0; j < 3; ++j)
      t[static_cast<size_t>(j)] = ring[static_cast<size_t>(corners->GetId(i + j))];
    out.push_back(t);
  }
  return out;
}

}  // namespace leverwright::vtk

#include <fmt/format.h>

#include "viz/paper/paper.h"
#include "viz/scene/output_file.h"

namespace leverwright::paper {
namespace {
using scene::Drawing;

std::string escape(const std::string& text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += (static_cast<unsigned char>(c) < 0x20) ? ' ' : c;  // control characters are not allowed in XML
    }
  }
  return out;
}

std::string look(const std::optional<scene::Ink>& fill, const std::optional<scene::Pen>& pen) {
  std::string out = fill ? fmt::format(" fill=\"{}\"", scene::hex(fill->colour)) : " fill=\"none\"";
  if (fill && fill->opacity < 1) out += fmt::format(" fill-opacity=\"{:g}\"", fill->opacity);
  if (!pen) return out;
  out += fmt::format(" stroke=\"{}\" stroke-width=\"{:g}\"", scene::hex(pen->colour), pen->width);
  if (!pen->dashes.empty()) {
    out += " stroke-linecap=\"butt\" stroke-dasharray=\"";
    for (size_t i = 0; i < pen->dashes.size(); ++i)
      out += fmt::format("{}{:.4g}", i > 0 ? " " : "", pen->dashes[i]);
    out += '"';
  }
  return out;
}

struct Write {
  double height;
  std::string& out;

  void operator()(const scene::DrawnPath& s) const {
    out += "<path d=\"";
    for (size_t i = 0; i < s.points.size(); ++i)
      out += fmt::format("{}{:.3f} {:.3f}", i == 0 ? 'M' : 'L', s.points[i].x(), height - s.points[i].y());
    out += fmt::format("{}\"{}/>\n", s.closed ? "Z" : "", look(s.fill, s.pen));
  }
  void operator()(const scene::DrawnCircle& s) const {
    out += fmt::format("<circle cx=\"{:.3f}\" cy=\"{:.3f}\" r=\"{:.3f}\"{}/>\n", s.centre.x(),
                       height - s.centre.y(), s.radius, look(s.fill, s.pen));
  }
  void operator()(const scene::DrawnText& s) const {
    static const char* const kAnchors[] = {"start", "middle", "end"};
    const double y = height - s.at.y();
    out += fmt::format("<text x=\"{:.3f}\" y=\"{:.3f}\" font-size=\"{:g}\" text-anchor=\"{}\" fill=\"{}\"",
                       s.at.x(), y, s.size, kAnchors[static_cast<int>(s.across)], scene::hex(s.colour));
    if (s.bold) out += " font-weight=\"bold\"";
    if (s.angle_deg != 0)
      out += fmt::format(" transform=\"rotate({:g} {:.3f} {:.3f})\"", -s.angle_deg, s.at.x(), y);
    if (s.halo)
      out += fmt::format(
          " paint-order=\"stroke\" stroke=\"#ffffff\" stroke-opacity=\"0.85\" stroke-width=\"{:g}\"",
          0.3 * s.size);
    out += ">" + escape(s.text) + "</text>\n";
  }
};

}  // namespace

std::string write_svg(const Drawing& drawing, const std::string& title) {
  std::string out = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:g}mm\" height=\"{1:g}mm\" viewBox=\"0 0 {0:g} "
      "{1:g}\" "
      "font-family=\"'DejaVu Sans', Verdana, sans-serif\" stroke-linejoin=\"round\" stroke-linecap=\"round\" "
      "role=\"img\">\n<title>{2}</title>\n<rect width=\"{0:g}\" height=\"{1:g}\" fill=\"#ffffff\"/>\n",
      drawing.width, drawing.height, escape(title));
  for (size_t i = 0; i < drawing.layers.size(); ++i) {
    const scene::Layer& layer = drawing.layers[i];
    if (layer.clip) {
      const scene::Box& b = *layer.clip;
      out += fmt::format(
          "<clipPath id=\"c{0}\"><rect x=\"{1:.3f}\" y=\"{2:.3f}\" width=\"{3:.3f}\" "
          "height=\"{4:.3f}\"/></clipPath>\n"
          "<g clip-path=\"url(#c{0})\">\n",
          i, b.x0, drawing.height - b.y1, b.width(), b.height());
    } else {
      out += "<g>\n";
    }
    for (const scene::Drawn& item : layer.items) std::visit(Write{drawing.height, out}, item);
    out += "</g>\n";
  }
  return out + "</svg>\n";
}

std::string draw_svg(const scene::Scene& scene, const scene::Page& page, const std::string& path) {
  const Drawing drawing = lay_out(scene, page);
  scene::OutputFile file(path);
  file.write(write_svg(drawing, scene.title));
  file.keep();
  return path;
}

}  // namespace leverwright::paper

#include "viz/page/core/scene_json.h"

#include <array>
#include <cmath>

#include "viz/scene/drawing.h"

namespace leverwright::page {

namespace {

using scene::Point;

// Hundredths of a millimetre: finer than any screen shows.
double rounded(double millimetres) { return std::round(millimetres * 500) / 500; }

Json point(const Point& p) { return Json::array({rounded(p.x()), rounded(p.y())}); }

Json points(const std::vector<Point>& list) {
  Json out = Json::array();
  for (const auto& p : list) {
    out.push_back(rounded(p.x()));
    out.push_back(rounded(p.y()));
  }
  return out;
}

Json pen(const scene::Stroke& s) {
  Json out{{"role", word_of(s.role)}, {"width", s.width}};
  if (!s.dashes.empty()) out["dashes"] = s.dashes;
  return out;
}

void put_paint(Json& out, const std::optional<scene::Fill>& fill,
               const std::optional<scene::Stroke>& stroke) {
  if (fill) {
    out["fill"] = word_of(fill->role);
    if (fill->opacity < 1) out["opacity"] = fill->opacity;
  }
  if (stroke) out["pen"] = pen(*stroke);
}

struct Writer {
  Json operator()(const scene::Path& s) const {
    Json out{{"shape", "path"}, {"name", s.name}, {"points", points(s.points)}, {"closed", s.closed}};
    put_paint(out, s.fill, s.stroke);
    return out;
  }
  Json operator()(const scene::Circle& s) const {
    Json out{{"shape", "circle"}, {"name", s.name}, {"at", point(s.centre)}, {"radius", s.radius}};
    put_paint(out, s.fill, s.stroke);
    return out;
  }
  Json operator()(const scene::Arc& s) const {
    return {{"shape", "arc"}, {"name", s.name}, {"at", point(s.centre)}, {"radius", s.radius},
            {"from", s.from}, {"to", s.to},     {"pen", pen(s.stroke)}};
  }
  Json operator()(const scene::Mark& s) const {
    static constexpr std::array<const char*, 5> kKinds = {"dot", "ring", "cross", "diamond", "pivot"};
    return {{"shape", "mark"},   {"name", s.name},
            {"at", point(s.at)}, {"kind", kKinds[static_cast<std::size_t>(s.kind)]},
            {"size", s.size},    {"role", word_of(s.role)}};
  }
  Json operator()(const scene::Label& s) const {
    static constexpr std::array<const char*, 3> kAcross = {"start", "middle", "end"};
    return {{"shape", "label"},
            {"text", s.text},
            {"at", point(s.at)},
            {"offset", point(s.offset)},
            {"anchor", kAcross[static_cast<std::size_t>(s.across)]},
            {"size", s.size},
            {"role", word_of(s.role)},
            {"bold", s.bold},
            {"automatic", s.automatic}};
  }
  Json operator()(const scene::Arrow& s) const {
    return {{"shape", "arrow"},    {"name", s.name},       {"tail", point(s.tail)},
            {"tip", point(s.tip)}, {"pen", pen(s.stroke)}, {"head", s.head}};
  }
  Json operator()(const scene::Trace& s) const {
    return {{"shape", "trace"},   {"name", s.name}, {"points", points(s.points)},
            {"values", s.values}, {"low", s.low},   {"high", s.high},
            {"width", s.width}};
  }
};

}  // namespace

const char* word_of(scene::Role role) {
  static const char* const kWords[static_cast<std::size_t>(scene::Role::kCount)] = {
      "paper", "ink",      "faint_ink", "key_wood", "wippen_wood", "jack",     "lever",   "hammer",
      "felt",  "leather",  "metal",     "string",   "rail",        "contact",  "force",   "friction",
      "line",  "set_up_a", "set_up_b",  "set_up_c", "set_up_d",    "set_up_e", "set_up_f"};
  return kWords[static_cast<std::size_t>(role)];
}

Json to_json(const std::vector<scene::Shape>& shapes) {
  Json out = Json::array();
  for (const auto& s : shapes) out.push_back(std::visit(Writer{}, s));
  return out;
}

Json placed_words(const scene::Scene& scene, double paper_width) {
  scene::Scene bare = scene;  // title, clock and legends are the page's own
  bare.title.clear();
  bare.clock.clear();
  bare.legend.clear();
  bare.notes.clear();
  bare.scale_bar = 0;
  scene::Page page;
  page.width_mm = paper_width;
  const scene::Drawing drawn = scene::lay_out(bare, page);
  Json out = Json::array();
  for (const auto& shape : scene.shapes) {
    const auto* label = std::get_if<scene::Label>(&shape);
    if (label == nullptr) continue;
    for (const auto& layer : drawn.layers)
      for (const auto& item : layer.items)
        if (const auto* text = std::get_if<scene::DrawnText>(&item); text && text->text == label->text) {
          static constexpr std::array<const char*, 3> kAcross = {"start", "middle", "end"};
          out.push_back({{"text", text->text},
                         {"at", point(Point((text->at - drawn.origin) / drawn.scale))},
                         {"anchor", kAcross[static_cast<std::size_t>(text->across)]},
                         {"names", point(label->at)},
                         {"size", text->size}});
        }
  }
  return out;
}

Json to_json(const scene::Scene& s) {
  return {{"view", {s.view.x0, s.view.y0, s.view.x1, s.view.y1}}, {"shapes", to_json(s.shapes)}};
}

}  // namespace leverwright::page

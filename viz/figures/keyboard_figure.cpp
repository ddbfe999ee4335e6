#include "viz/figures/keyboard_figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/store/study_reader.h"

namespace leverwright::figures {

namespace {

using chart::MarkShape;
using chart::Panel;
using chart::Series;
using scene::Role;

constexpr const char* kAt = "/keyboard";
constexpr Role kNatural = Role::kSetUpA, kSharp = Role::kSetUpC;
constexpr double kTwoSided = 1.959964;  // of a normal, 95 %
constexpr std::size_t kPanelsEach = 6;

// Columns of a table as displayed.
class Columns {
 public:
  Columns(const store::StudyReader& in, const std::string& path) {
    if (in.has(path)) table_ = in.read_table(path);
  }
  bool has(const std::string& name) const { return table_.find(name) != nullptr; }
  std::vector<double> operator()(const std::string& name) const {
    const store::Column* c = table_.find(name);
    if (c == nullptr) return std::vector<double>(table_.rows(), NAN);
    std::vector<double> out = c->numbers;
    for (double& v : out) v *= c->meta.display_factor;
    return out;
  }
  const std::vector<std::string>& texts(const std::string& name) const { return table_.find(name)->texts; }
  std::string unit(const std::string& name) const {
    const store::Column* c = table_.find(name);
    return c == nullptr || c->meta.display_unit == "1" ? "" : c->meta.display_unit;
  }
  std::string words(const std::string& name) const {
    const store::Column* c = table_.find(name);
    return c == nullptr ? name : c->meta.description;
  }
  std::size_t rows() const { return table_.rows(); }

 private:
  store::Table table_;
};

chart::Axis note_axis() {
  chart::Axis a;
  a.label = "note";
  a.low = 0;
  a.high = 89;
  for (int octave = 1; octave <= 8; ++octave)
    a.ticks.push_back({12.0 * octave - 8, "C" + std::to_string(octave)});
  return a;
}

Panel panel(const std::string& label, const std::string& unit) {
  Panel p;
  p.x = note_axis();
  p.y.label = label;
  p.y.unit = unit;
  return p;
}

Series marks(const std::string& name, const std::vector<double>& x, const std::vector<double>& y, Role role,
             MarkShape mark, bool in_key) {
  Series s;
  s.name = name;
  s.x = x;
  s.y = y;
  s.role = role;
  s.mark = mark;
  s.line = false;
  s.in_key = in_key;
  return s;
}

Series line(const std::string& name, const std::vector<double>& x, const std::vector<double>& y, Role role,
            std::vector<double> dashes, bool in_key) {
  Series s;
  s.name = name;
  s.x = x;
  s.y = y;
  s.role = role;
  s.dashes = std::move(dashes);
  s.in_key = in_key;
  return s;
}

// Those rows that are of one kind; all for "".
std::vector<double> pick(const std::vector<double>& values, const std::vector<std::string>& kind,
                         const char* wanted) {
  std::vector<double> out;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (*wanted == '\0' || kind[i] == wanted) out.push_back(values[i]);
  return out;
}

// Naturals as dots and sharps as diamonds.
void add_kinds(Panel& p, const Columns& t, const std::vector<double>& y, bool in_key) {
  const auto note = t("note");
  const auto& kind = t.texts("kind");
  p.series.push_back(marks("naturals", pick(note, kind, "natural"), pick(y, kind, "natural"), kNatural,
                           MarkShape::kDot, in_key));
  p.series.push_back(marks("sharps", pick(note, kind, "sharp"), pick(y, kind, "sharp"), kSharp,
                           MarkShape::kDiamond, in_key));
}

void add_band(Panel& p, const Columns& t, const std::vector<double>& middle, const std::vector<double>& low,
              const std::vector<double>& high, const char* wanted, Role role, const std::string& name,
              bool in_key) {
  const auto& kind = t.texts("kind");
  Series s = line(name, pick(t("note"), kind, wanted), pick(middle, kind, wanted), role,
                  role == kSharp ? std::vector<double>{6, 3} : std::vector<double>{}, in_key);
  s.low = pick(low, kind, wanted);
  s.high = pick(high, kind, wanted);
  s.band = true;
  s.width_mm = 0.35;
  p.series.push_back(std::move(s));
}

void add_samples(Panel& p, const store::StudyReader& in, const std::string& word, bool in_key) {
  const std::string path = std::string(kAt) + "/samples/" + word;
  if (!in.has(path)) return;
  const Columns t(in, path);
  Series s =
      marks("read on the sample notes, 95 %", t("note"), t("value"), Role::kInk, MarkShape::kRing, in_key);
  const auto sigma = t("sigma");
  for (std::size_t i = 0; i < s.y.size(); ++i) {
    s.low.push_back(s.y[i] - kTwoSided * sigma[i]);
    s.high.push_back(s.y[i] + kTwoSided * sigma[i]);
  }
  p.series.push_back(std::move(s));
  const auto outlier = t("outlier");
  for (std::size_t i = 0; i < outlier.size(); ++i)
    if (outlier[i] > 0.5) {
      chart::Note note;
      note.x = t("note")[i];
      note.y = t("value")[i];
      note.text = "not like the others";
      note.dx_mm = 2.5;
      note.role = Role::kForce;
      p.notes.push_back(note);
    }
}

// A carried quantity with its bands (both kinds where kept apart) and samples.
Panel carried_panel(const store::StudyReader& in, const Columns& t, const std::string& word, bool in_key) {
  Panel p = panel(t.words(word), t.unit(word));
  const bool apart = in.number_attribute(std::string(kAt) + "/samples/" + word, "apart") > 0.5;
  const auto value = t(word), low = t(word + "_low"), high = t(word + "_high");
  add_band(p, t, value, low, high, apart ? "natural" : "", kNatural,
           apart ? "naturals: carried, 95 % band of a single note" : "carried, 95 % band of a single note",
           in_key || apart);
  if (apart)
    add_band(p, t, value, low, high, "sharp", kSharp, "sharps: carried, 95 % band of a single note", true);
  add_samples(p, in, word, in_key);
  return p;
}

bool has_course(const store::StudyReader& in, const char* key) {
  return in.has(std::string(kAt) + "/courses/" + key);
}

std::string state_of(const store::StudyReader& in) {
  return in.status() == "complete" ? "" : " (" + in.reason() + ")";
}

// The model's answer for every note as found, with the band of all inputs, and what was read.
Panel answer_panel(const store::StudyReader& in, const Columns& found, const std::vector<std::string>& words,
                   const std::string& label, bool in_key) {
  Panel p = panel(label, "gf");
  const Columns bands(in, std::string(kAt) + "/bands");
  for (const std::string& word : words) {
    const bool first = in_key && word == words.front();
    if (bands.rows() > 0) {
      // Rows of the course are the notes asked, those of the bands all 88.
      const auto note = found("note"), middle = found(word), sigma = bands(word + "_all");
      std::vector<double> low, high;
      for (std::size_t i = 0; i < note.size(); ++i) {
        const double s = kTwoSided * sigma[static_cast<std::size_t>(note[i]) - 1];
        low.push_back(middle[i] - s);
        high.push_back(middle[i] + s);
      }
      add_band(p, found, middle, low, high, "natural", kNatural, "naturals: 95 % band of all inputs", first);
    }
    add_kinds(p, found, found(word), first);
    add_samples(p, in, word, first);
  }
  return p;
}

chart::Chart build_weights(const store::StudyReader& in) {
  chart::Chart c;
  c.title = "Weights over the keyboard, as found";
  c.remark = "every note regulated afresh and weighed by the model; rings: read at the bench" + state_of(in);
  const Columns found(in, std::string(kAt) + "/courses/as_found"), t(in, std::string(kAt) + "/carried");
  c.panels.push_back(answer_panel(in, found, {"down_weight", "up_weight"}, "down and up weight", true));
  c.panels.back().share = 1.5;
  c.panels.push_back(answer_panel(in, found, {"friction"}, "friction", false));
  for (const char* word : {"strike_weight", "front_weight"})
    if (t.has(word)) c.panels.push_back(carried_panel(in, t, word, false));
  c.width_mm = 210;
  c.height_mm = 40 + 48 * (static_cast<double>(c.panels.size()) + 0.5);
  return c;
}

Panel difference_panel(const Columns& from, const Columns& to, const std::string& word,
                       const std::string& label) {
  Panel p = panel(label, to.unit(word));
  auto y = to(word);
  const auto base = from(word);
  for (std::size_t i = 0; i < y.size(); ++i) y[i] -= base[i];
  add_kinds(p, to, y, false);
  return p;
}

chart::Chart build_capstan(const store::StudyReader& in) {
  chart::Chart c;
  const std::string at = std::string(kAt) + "/wanted/00";
  const Columns w(in, at), found(in, std::string(kAt) + "/courses/as_found");
  c.title = "The straight capstan line";
  c.remark = "places horizontally from the wippen centres, towards the player; wanted " +
             in.text_attribute(at, "wish") + state_of(in);
  Panel place = panel("capstan", "mm");
  place.share = 1.6;
  const auto& kind = w.texts("kind");
  for (const bool sharp : {false, true}) {
    const char* wanted = sharp ? "sharp" : "natural";
    Series s = marks(sharp ? "sharps: wanted, 95 %" : "naturals: wanted, 95 %", pick(w("note"), kind, wanted),
                     pick(w("wanted"), kind, wanted), sharp ? kSharp : kNatural,
                     sharp ? MarkShape::kDiamond : MarkShape::kDot, true);
    const auto sigma = pick(w("sigma"), kind, wanted);
    if (!sigma.empty() && std::isfinite(sigma.front())) {
      for (std::size_t i = 0; i < sigma.size(); ++i) {
        s.low.push_back(s.y[i] - kTwoSided * sigma[i]);
        s.high.push_back(s.y[i] + kTwoSided * sigma[i]);
      }
      s.band = true;
    }
    place.series.push_back(std::move(s));
  }
  place.series.push_back(
      marks("as found", found("note"), found("capstan_place"), Role::kFaintInk, MarkShape::kCross, true));
  place.series.push_back(
      line("straight line, least squares", w("note"), w("least_squares"), Role::kInk, {}, true));
  place.series.push_back(
      line("straight line, least worst miss", w("note"), w("least_worst"), Role::kInk, {7, 3}, true));
  if (w.has("broken"))
    place.series.push_back(line("line with a break", w("note"), w("broken"), Role::kSetUpE, {2, 2}, true));
  c.panels.push_back(std::move(place));
  Panel miss = panel("line less wanted", "mm");
  add_kinds(miss, w, w("least_squares_miss"), true);
  c.panels.push_back(std::move(miss));
  if (has_course(in, "own_place") && has_course(in, "nearest_line")) {
    const Columns own(in, std::string(kAt) + "/courses/own_place"),
        nearest(in, std::string(kAt) + "/courses/nearest_line");
    c.panels.push_back(difference_panel(own, nearest, "down_weight", "down weight added"));
    c.panels.push_back(difference_panel(own, nearest, "friction", "friction added"));
    c.panels.push_back(difference_panel(own, nearest, "aftertouch", "aftertouch"));
  }
  c.width_mm = 210;
  c.height_mm = 45 + 40 * (static_cast<double>(c.panels.size()) + 0.6);
  return c;
}

Panel lead_places(const Columns& places, const std::string& way, const std::string& label, bool in_key) {
  Panel p = panel(label, "mm");
  const auto note = places("note"), mass = places("mass"), distance = places("distance");
  const auto& ways = places.texts("way");
  std::vector<double> masses = mass;
  std::sort(masses.begin(), masses.end());
  masses.erase(
      std::unique(masses.begin(), masses.end(), [](double a, double b) { return std::abs(a - b) < 1e-6; }),
      masses.end());
  constexpr MarkShape kShapes[] = {MarkShape::kSquare, MarkShape::kRing, MarkShape::kTriangle,
                                   MarkShape::kCross};
  constexpr Role kRoles[] = {Role::kSetUpA, Role::kSetUpC, Role::kSetUpE, Role::kInk};
  for (std::size_t k = 0; k < masses.size(); ++k) {
    std::vector<double> x, y;
    for (std::size_t i = 0; i < note.size(); ++i)
      if (ways[i] == way && std::abs(mass[i] - masses[k]) < 1e-6) {
        x.push_back(note[i]);
        y.push_back(distance[i]);
      }
    const std::size_t from_heaviest = std::min(masses.size() - 1 - k, std::size(kShapes) - 1);
    p.series.push_back(marks(fmt::format("lead of {:g} g", masses[k]), x, y, kRoles[from_heaviest],
                             kShapes[from_heaviest], in_key));
  }
  return p;
}

chart::Chart build_leads(const store::StudyReader& in) {
  chart::Chart c;
  c.title = "Leads over the keyboard";
  c.remark = "places from the balance hole towards the player; mass: met by the finger at half stroke" +
             state_of(in);
  const Columns leads(in, std::string(kAt) + "/leads"), places(in, std::string(kAt) + "/lead_places"),
      leaded(in, std::string(kAt) + "/courses/leaded"), sprung(in, std::string(kAt) + "/courses/sprung");
  if (places.rows() > 0) {
    c.panels.push_back(lead_places(places, "fewest", "fewest leads", true));
    c.panels.push_back(lead_places(places, "least_inertia", "least inertia", false));
  }
  Panel weight = panel("front weight", "gf");
  add_kinds(weight, leads, leads("fewest_front_weight"), true);
  const auto& kinds = leads.texts("kind");
  weight.series.push_back(line("naturals without leads", pick(leads("note"), kinds, "natural"),
                               pick(leads("bare_front_weight"), kinds, "natural"), Role::kFaintInk, {3, 2},
                               true));
  const auto front_weight_limit = leads("front_weight_limit");
  if (std::any_of(front_weight_limit.begin(), front_weight_limit.end(),
                  [](double v) { return std::isfinite(v); }))
    weight.series.push_back(line("limit", leads("note"), front_weight_limit, Role::kForce, {7, 3}, true));
  c.panels.push_back(std::move(weight));
  Panel mass = panel("mass at the finger", "g");
  const auto model = leaded("reflected_mass"), first = leads("fewest_reflected");
  const auto shifted = [&](const char* name) {
    auto y = leads(name);
    for (std::size_t i = 0; i < y.size(); ++i) y[i] += model[i] - first[i];
    return y;
  };
  const auto& kind = leads.texts("kind");
  const auto naturals = [&](const std::string& name, const std::vector<double>& y, Role role,
                            const std::vector<double>& dashes) {
    mass.series.push_back(
        line(name, pick(leads("note"), kind, "natural"), pick(y, kind, "natural"), role, dashes, true));
  };
  naturals("fewest leads (naturals)", model, Role::kSetUpA, {});
  naturals("least inertia", shifted("least_inertia_reflected"), Role::kSetUpC, {7, 3});
  naturals("least lead", shifted("least_lead_reflected"), Role::kSetUpE, {2, 2});
  if (sprung.rows() == leads.rows())
    naturals("assist springs, no leads", sprung("reflected_mass"), Role::kInk, {1, 2, 6, 2});
  mass.series.push_back(marks("sharps, fewest leads", pick(leads("note"), kind, "sharp"),
                              pick(model, kind, "sharp"), kSharp, MarkShape::kDiamond, false));
  c.panels.push_back(std::move(mass));
  c.width_mm = 210;
  c.height_mm = 45 + 50 * static_cast<double>(c.panels.size());
  return c;
}

}  // namespace

std::vector<NamedChart> build_keyboard(const std::string& results_path) {
  const store::StudyReader in(results_path);
  std::vector<NamedChart> out;
  if (!in.has(kAt)) return out;
  if (has_course(in, "as_found")) out.push_back({"keyboard_weights", build_weights(in)});
  if (in.has(std::string(kAt) + "/wanted/00") && has_course(in, "as_found"))
    out.push_back({"keyboard_capstan_line", build_capstan(in)});
  if (in.has(std::string(kAt) + "/leads") && has_course(in, "leaded"))
    out.push_back({"keyboard_leads", build_leads(in)});
  const Columns t(in, std::string(kAt) + "/carried");
  std::vector<Panel> panels;
  for (const std::string& group : in.groups(std::string(kAt) + "/samples")) {
    const std::string word = group.substr(group.rfind('/') + 1);
    if (t.has(word)) panels.push_back(carried_panel(in, t, word, panels.size() % kPanelsEach == 0));
  }
  for (std::size_t from = 0, page = 1; from < panels.size(); from += kPanelsEach, ++page) {
    chart::Chart c;
    c.title = "Sample notes carried to 88";
    c.remark = "bands: a single note, 95 %, wider beyond the outermost samples";
    const std::size_t to = std::min(panels.size(), from + kPanelsEach);
    c.panels.assign(panels.begin() + static_cast<std::ptrdiff_t>(from),
                    panels.begin() + static_cast<std::ptrdiff_t>(to));
    c.width_mm = 210;
    c.height_mm = 45 + 42 * static_cast<double>(c.panels.size());
    out.push_back({fmt::format("keyboard_carried_{}", page), c});
  }
  return out;
}

std::vector<std::string> draw_keyboard(const std::string& results_path, const std::string& folder) {
  std::vector<std::string> files;
  for (const NamedChart& one : build_keyboard(results_path))
    for (const auto& file : chart::draw_chart(one.chart, folder + "/" + one.stem)) files.push_back(file);
  return files;
}

}  // namespace leverwright::figures

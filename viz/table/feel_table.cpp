#include "viz/table/feel_table.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/units.h"

namespace leverwright::table {

using playing::Feel;

namespace {

constexpr double kToGf = 1 / base::kGramForce;
constexpr double kShown = 0.3;  // gf: smaller rows of the ledger are taken together

Cell right(const std::string& text) { return {text, Colour::kPlain, true}; }
Cell head(const std::string& text) { return {text, Colour::kQuiet, true}; }

std::string write_across(const std::vector<Feel>& results, const Look& look) {
  std::vector<int> widths{40, 4};
  widths.resize(2 + results.size(), 11);
  Grid grid(widths);
  std::vector<Cell> names{{""}, {""}};
  for (const auto& f : results) names.push_back({f.set_up, Colour::kHeading, true});
  grid.add(names);
  grid.add_rule();
  const auto row = [&](const std::string& label, const char* unit, int decimals, auto value) {
    std::vector<Cell> cells{{label}, {unit, Colour::kQuiet}};
    for (const auto& f : results) cells.push_back(right(fixed(value(f), decimals)));
    grid.add(cells);
  };
  row("down weight", "gf", 1, [](const Feel& f) { return f.down_weight * kToGf; });
  row("up weight", "gf", 1, [](const Feel& f) { return f.up_weight * kToGf; });
  row("let-off bump, height", "gf", 0, [](const Feel& f) { return f.bump_height * kToGf; });
  row("let-off bump, width at half height", "mm", 2, [](const Feel& f) { return f.bump_width * 1e3; });
  for (std::size_t k = 0; k < results.front().reflected.size(); ++k) {
    const auto& at = results.front().reflected[k];
    row("reflected mass " + at.where, "g", 0,
        [k](const Feel& f) { return k < f.reflected.size() ? f.reflected[k].sum() * 1e3 : std::nan(""); });
    if (at.where != "half stroke") continue;
    for (std::size_t b = 0; b < action::kBodyCount; ++b)
      row(fmt::format("    of it {}", action::kBodyNames[b]), "%", 1, [k, b](const Feel& f) {
        return k < f.reflected.size() ? 100 * f.reflected[k].shares[b] / f.reflected[k].sum() : std::nan("");
      });
  }
  return grid.write(look);
}

std::string off_words(const std::vector<playing::KnuckleOff>& off) {
  std::string out;
  for (std::size_t k = 0; k < off.size() && k < 4; ++k)
    out += fmt::format("{} from {:.1f} to {:.1f} mm of dip ({:.1f} ms)", k == 0 ? "" : ", then",
                       off[k].dip_from * 1e3, off[k].dip_to * 1e3, off[k].lasting * 1e3);
  if (off.size() > 4) out += fmt::format(", and {} times more", off.size() - 4);
  return out;
}

std::string write_motions(const Feel& f, const Look& look) {
  Grid grid({9, 9, 9, 9, 13, 13, 13, 13, 15});
  grid.add({head("down in"), head("hammer"), head("greatest"), head("at dip"), head("at 1/4, slow"),
            head("at 1/2, slow"), head("at 3/4, slow"), head("mean, slow"), head("off one mass")});
  grid.add({head("ms"), head("m/s"), head("N"), head("mm"), head("N"), head("N"), head("N"), head("N"),
            head("N rms")});
  grid.add_rule();
  const auto pair = [](double a, double b) { return right(fixed(a, 2) + "  " + fixed(b, 2)); };
  for (const auto& m : f.motions)
    grid.add({right(fixed(m.down_time * 1e3, 0)), right(fixed(m.hammer_speed, 2)), right(fixed(m.peak, 2)),
              right(fixed(m.peak_dip * 1e3, 1)), pair(m.early, m.slow_early), pair(m.half, m.slow_half),
              pair(m.late, m.slow_late), pair(m.mean, m.slow_mean), right(fixed(m.simple_rms, 2))});
  std::string out = grid.write(look);
  for (const auto& m : f.motions)
    if (!m.off.empty())
      out += wrap(
          fmt::format("{:.0f} ms: jack and lever are off the knuckle{}", m.down_time * 1e3, off_words(m.off)),
          look.width, "", "    ");
  return out;
}

std::string knuckle_words(const playing::PlayedFriction& p) {
  std::string out = fmt::format("{}: the knuckle bears up to {:.1f} N ({:.1f} N slowly at half stroke)",
                                p.touch, p.most_load, p.slow_load);
  if (p.off.empty()) out += ", and is never off before let-off";
  if (!p.off.empty()) out += "; it is off" + off_words(p.off);
  if (std::isfinite(p.loaded_again))
    out += fmt::format("; after the string it bears again {:.1f} ms later", p.loaded_again * 1e3);
  return out + ".";
}

std::string write_played(const Feel& f, const Look& look) {
  if (f.played.empty()) return "";
  std::vector<int> widths{46, 9};
  widths.resize(2 + f.played.size(), 9);
  Grid grid(widths);
  std::vector<Cell> names{{"lost at, gf at the playing point", Colour::kQuiet}, head("slow")};
  for (const auto& p : f.played) names.push_back(head(p.touch));
  grid.add(names);
  grid.add_rule();
  const auto find = [](const playing::PlayedFriction& p, const std::string& place) {
    for (const auto& r : p.rows)
      if (r.place == place) return r;
    return playing::LostWhilePlaying{};
  };
  std::vector<double> rest(1 + f.played.size(), 0.0), sum = rest;
  for (const auto& r : f.played.back().rows) {
    std::vector<double> values{r.slow * kToGf};
    for (const auto& p : f.played) values.push_back(find(p, r.place).played * kToGf);
    double most = 0;
    for (std::size_t k = 0; k < values.size(); ++k) {
      most = std::max(most, std::abs(values[k]));
      sum[k] += values[k];
    }
    if (most < kShown) {
      for (std::size_t k = 0; k < values.size(); ++k) rest[k] += values[k];
      continue;
    }
    std::vector<Cell> cells{{r.place}};
    for (const double v : values) cells.push_back(right(fixed(v, 1)));
    grid.add(cells);
  }
  const auto line = [&](const char* name, const std::vector<double>& values) {
    std::vector<Cell> cells{{name}};
    for (const double v : values) cells.push_back(right(fixed(v, 1)));
    grid.add(cells);
  };
  line("everything smaller", rest);
  grid.add_rule();
  line("sum", sum);
  std::string out = grid.write(look) + "\n";
  for (const auto& p : f.played)
    out +=
        p.found ? wrap(knuckle_words(p), look.width, "", "    ") : p.touch + ": this touch was not found\n";
  return out;
}

struct Line {
  std::string group, name;
  double value;
  std::string unit;
};

std::vector<Line> find_lines(const Feel& f) {
  std::vector<Line> out{{"slow", "down weight", f.down_weight * kToGf, "gf"},
                        {"slow", "up weight", f.up_weight * kToGf, "gf"},
                        {"slow", "mean force down", f.mean_down * kToGf, "gf"},
                        {"slow", "mean force up", f.mean_up * kToGf, "gf"},
                        {"let-off bump", "height", f.bump_height * kToGf, "gf"},
                        {"let-off bump", "width at half height", f.bump_width * 1e3, "mm"}};
  for (const auto& r : f.reflected) {
    out.push_back({"reflected mass", r.where, r.sum() * 1e3, "g"});
    for (std::size_t b = 0; b < action::kBodyCount; ++b)
      out.push_back({"reflected mass", r.where + ": " + action::kBodyNames[b], r.shares[b] * 1e3, "g"});
  }
  for (const auto& m : f.motions) {
    const std::string group = fmt::format("key down in {:.0f} ms", m.down_time * 1e3);
    out.push_back({group, "hammer speed", m.hammer_speed, "m/s"});
    out.push_back({group, "greatest force before let-off", m.peak, "N"});
    out.push_back({group, "dip there", m.peak_dip * 1e3, "mm"});
    out.push_back({group, "force at a quarter", m.early, "N"});
    out.push_back({group, "slow force at a quarter", m.slow_early, "N"});
    out.push_back({group, "force at half", m.half, "N"});
    out.push_back({group, "slow force at half", m.slow_half, "N"});
    out.push_back({group, "force at three quarters", m.late, "N"});
    out.push_back({group, "slow force at three quarters", m.slow_late, "N"});
    out.push_back({group, "mean force", m.mean, "N"});
    out.push_back({group, "slow mean force", m.slow_mean, "N"});
    out.push_back({group, "rms difference from one reflected mass", m.simple_rms, "N"});
  }
  for (const auto& p : f.played) {
    const std::string group = "played " + p.touch;
    out.push_back({group, "hammer speed", p.hammer_speed, "m/s"});
    out.push_back({group, "knuckle's greatest load before let-off", p.most_load, "N"});
    out.push_back({group, "times the knuckle is off before let-off", static_cast<double>(p.off.size()), "1"});
    out.push_back({group, "knuckle bears again after the string", p.loaded_again * 1e3, "ms"});
    out.push_back({group, "lost, sum", p.played_sum * kToGf, "gf"});
    out.push_back({group, "lost slowly, sum", p.slow_sum * kToGf, "gf"});
    for (const auto& r : p.rows) {
      out.push_back({group, "lost at " + r.place, r.played * kToGf, "gf"});
      out.push_back({group, "lost slowly at " + r.place, r.slow * kToGf, "gf"});
    }
  }
  return out;
}

// The set-up for other programs.
Document set_up_document(const Feel& f) {
  Document d;
  d.set("name", f.set_up);
  Table& numbers = d.table("numbers");
  numbers.columns = {
      {"", "set_up"}, {"group", "group"}, {"name", "name"}, {"value", "value"}, {"unit", "unit"}};
  for (const Line& l : find_lines(f)) numbers.add({f.set_up, l.group, l.name, l.value, l.unit});
  Json motions = Json::array();
  for (const auto& m : f.motions)
    motions.push_back(Json{{"down_time_ms", m.down_time * 1e3},
                           {"time_s", m.time},
                           {"dip_m", m.dip},
                           {"force_N", m.force},
                           {"slow_force_N", m.slow}});
  d.set("key_motions", motions);
  Table& off = d.table("knuckle_off");
  off.columns = {{"touch"}, {"dip_from_mm"}, {"dip_to_mm"}, {"lasting_ms"}};
  const auto add = [&](const std::string& touch, const std::vector<playing::KnuckleOff>& times) {
    for (const auto& o : times) off.add({touch, o.dip_from * 1e3, o.dip_to * 1e3, o.lasting * 1e3});
  };
  for (const auto& m : f.motions) add(fmt::format("key down in {:.0f} ms", m.down_time * 1e3), m.off);
  for (const auto& p : f.played) add(p.touch, p.off);
  return d;
}

}  // namespace

Document feel_document(const std::string& case_path, const std::vector<Feel>& results,
                       const std::string& status) {
  Document d("feel");
  d.set("case", case_path);
  d.set("status", status);
  d.text([results](const Look& look) { return write_across(results, look); });
  for (const auto& f : results) {
    d.details("force for given key motions");
    d.space();
    d.note(
        fmt::format("\"{}\": the key led down by the dip along a smooth ramp, the finger's force against "
                    "the slow force at the same dip (second number)",
                    f.set_up));
    d.text([f](const Look& look) { return write_motions(f, look); });
    d.note(
        "\"off one mass\": what is left of the force when the slow force and the reflected mass times the "
        "key's acceleration are taken away.");
    d.details("friction while playing");
    d.space();
    d.note(
        fmt::format("\"{}\": where the finger's work is lost while playing, as a mean force from 1 mm of "
                    "dip until the tender meets the button; slow: the weighing's own ledger going down",
                    f.set_up));
    d.text([f](const Look& look) { return write_played(f, look); });
    d.essentials();
    d.add_to("set_ups", set_up_document(f));
  }
  return d;
}

}  // namespace leverwright::table

#include "tests/sim/store/small_study.h"

#include <fmt/format.h>

#include <cmath>

namespace leverwright::store {
namespace {

void write_statics(StudyWriter& writer, const std::string& at, double shift) {
  const std::vector<double> dip{0.0, 1.3e-3, 4.1e-3, 9.7e-3};
  for (const char* way : {"down", "up"}) {
    const std::string group = at + "/statics/" + way;
    const double sign = way[0] == 'd' ? 1 : -1;
    std::vector<double> force, ratio, distance, ledger;
    for (const double y : dip) {
      force.push_back(0.36 + sign * 0.11 - 7.3 * y + shift);
      ratio.push_back(5.6 - 31 * y);
      distance.push_back(0.0465 - 4.5 * y);
      for (int row = 0; row < 3; ++row) ledger.push_back(0.02 + 0.013 * row + 0.7 * y);
    }
    writer.write_series(group, "dip", dip,
                        make_meta("m", "mm", "W", "travel of the playing point from rest"));
    writer.write_series(group, "force", force, make_meta("N", "gf", "W", "force at the playing point"));
    writer.write_series(group, "distance_ratio", ratio,
                        make_meta("1", "1", "none", "strike-point travel over playing-point travel"));
    writer.write_series(group, "hammer_distance", distance, make_meta("m", "mm", "W", "crown to string"));
    writer.write_series(group, "ledger", ledger, 3, make_meta("N", "gf", "none", "friction by place"),
                        {{"capstan on heel", "jack on knuckle", "key bushing"}});
  }
  const std::string slide = at + "/slide/capstan_heel";
  writer.write_series(slide, "dip", dip, make_meta("m", "mm", "W", "travel of the playing point from rest"));
  writer.write_series(slide, "slide", std::vector<double>{0, 0.11e-3, 0.17e-3, -0.05e-3},
                      make_meta("m", "mm", "heel profile", "sliding distance, signed"));
  writer.write_series(slide, "normal_force", std::vector<double>{1.9, 2.1, kUnknown, 3.7},
                      make_meta_unknown_allowed("N", "N", "none", "normal force, unknown while open"));
}

void write_stroke(StudyWriter& writer, const std::string& at) {
  const std::string stroke = at + "/strokes/mf pressed";
  std::vector<double> time, coordinates;
  for (int i = 0; i < 50; ++i) {
    time.push_back(i * 1.7e-4);
    coordinates.push_back(0.031 * std::sin(0.07 * i));
    coordinates.push_back(-0.083 * std::sin(0.06 * i));
  }
  writer.write_series(stroke, "time", time,
                      make_meta("s", "ms", "none", "time from the finger's first push"));
  writer.write_series(stroke, "coordinates", coordinates, 2, make_meta("rad", "deg", "W", "angles"),
                      {{"key", "wippen"}});
  Table events;
  events.description = "located events";
  events.columns = {text_column("name", "what happened", {"let-off", "string"}),
                    number_column("time", make_meta("s", "ms", "none", "when"), {41.3e-3, 44.9e-3})};
  writer.write_table(stroke, "events", events);
  writer.write_numbers(stroke, "audit", {{"work put in", 0.0713, "J", "mJ"}, {"string", 0.0311, "J", "mJ"}},
                       "energy audit");
}

void write_repetition(StudyWriter& writer, const std::string& at) {
  const std::string ladder = at + "/repetition/full";
  writer.write_series(ladder, "rate", std::vector<double>{6.5, 9.25, 12.5},
                      make_meta("1/s", "1/s", "none", "strokes in a second"));
  writer.write_series(ladder, "share_good", std::vector<double>{1, 0.95, 0.35},
                      make_meta("1", "1", "none", "share of good strokes"));
  writer.write_numbers(at + "/repetition", "limits", {{"highest rate, full return", 11.3, "1/s", "1/s"}},
                       "limits of repetition");
  Table table;
  table.description = "one setting moved at a time";
  table.columns = {
      text_column("setting", "what was moved", {"as regulated", "let-off button", "let-off button"}),
      number_column("moved", make_meta("m", "mm", "none", "signed"), {0, -0.3e-3, 0.3e-3}),
      number_column("down_weight", make_meta("N", "gf", "none", "down weight"), {0.51, 0.52, 0.505})};
  writer.write_table(at, "misadjustment", table);
}

void write_scene(StudyWriter& writer, const std::string& at) {
  int turn = 0;
  for (const char* body : {"key", "wippen"}) {
    const std::string group = at + "/scene/bodies/" + body;
    writer.write_series(group, "outline", std::vector<double>{0, 0, 0.21, 0.003, 0.19, 0.022, -0.01, 0.021},
                        2, make_meta("m", "mm", body, "outline, closed"), {{"x", "y"}});
    writer.write_attribute(group, "colour_role", std::string(body));
    writer.write_attribute(group, "order", turn++);
  }
  writer.write_strings(at + "/scene/positions", "bodies", {"key", "wippen"}, "rows of the position datasets");
  for (const char* when : {"rest", "half_stroke", "let_off"})
    writer.write_series(at + "/scene/positions", when,
                        std::vector<double>{0, 0.0013, 0.021, 0.217, 0.093, -0.08}, 3,
                        make_meta("per column", "per column", "W", "where each body's frame stands"),
                        {{"x", "y", "angle"}, {"m", "m", "rad"}, {"mm", "mm", "deg"}});
}

}  // namespace

StudyHeader small_header() {
  StudyHeader header;
  header.software_version = "0.1.0";
  header.case_path = "cases/small/case.toml";
  header.case_text =
      "title = \"small\"  # wippen with é and µ\n[measured]\nspread = \"112.4 mm +- 0.25 mm\"\n";
  header.files = {{"models/materials/cloth.toml", "stiffness = \"310 N/mm\"\n"},
                  {"models/parts/capstan.toml", "diameter = \"9.5 mm\"\n"}};
  header.created = "2025-03-09T11:22:33Z";
  return header;
}

void write_small_set_up(StudyWriter& writer, const std::string& at, double shift) {
  writer.write_numbers(
      at, "screws", {{"capstan height", 3.31e-3 + shift, "m", "mm"}, {"let-off button", 1.7e-3, "m", "mm"}},
      "screw settings after regulation",
      {number_column("turns_against_base", make_meta("turn", "turn", "none", "turns, positive raises"),
                     {0.75 + shift, -0.2}),
       number_column("thread_left", make_meta("m", "mm", "none", "thread left"), {4.4e-3, 2.9e-3})});
  writer.write_numbers(
      at, "numbers",
      {{"down weight", 0.481 + shift, "N", "gf", 0.013, shift, 0.004, "better", "least weight"},
       {"dip", 9.93e-3, "m", "mm"}},
      "measures");
  writer.write_strings(at, "warnings", {"the cap rides on its edge at 8.1 mm of dip: turn the lean back"},
                       "warnings");
  write_statics(writer, at, shift);
  write_stroke(writer, at);
  write_repetition(writer, at);
  write_scene(writer, at);
}

void write_small_study(const std::string& path) {
  StudyWriter writer(path, small_header());
  write_small_set_up(writer, writer.begin_set_up("as found", "the base"), 0);
  writer.finish_set_up();
  write_small_set_up(writer, writer.begin_set_up("heel build-up", "0.7 mm high"), -0.021);
  writer.finish_set_up();
  writer.begin_set_up("capstan moved", "9 mm toward the balance rail");
  writer.fail_set_up("no capstan height gives the blow: 3.1 mm of thread missing");
  writer.finish();
}

}  // namespace leverwright::store

#include "models/keyboard/write_keyboard.h"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "models/study/write_study.h"

namespace leverwright::keyboard {

using store::make_meta_unknown_allowed;
using store::number_column;
using store::text_column;

namespace {

constexpr const char* kLeadWishes[] = {"fewest", "least_inertia", "least_lead"};

class NoteTable {
 public:
  explicit NoteTable(const std::vector<int>& notes, const std::string& description) : notes_(notes) {
    table_.description = description;
    std::vector<double> number;
    std::vector<std::string> name, kind;
    for (const int note : notes) {
      number.push_back(note);
      name.push_back(note_name(note));
      kind.emplace_back(is_sharp(note) ? "sharp" : "natural");
    }
    table_.columns = {
        number_column("note", store::make_meta("1", "1", "none", "number of the note, 1 to 88"), number),
        text_column("name", "name of the note", name), text_column("kind", "natural or sharp", kind)};
  }
  // of(i): value at note i + 1.
  template <class Of>
  void add(const std::string& name, const std::string& unit, const std::string& display,
           const std::string& description, const Of& of) {
    std::vector<double> values;
    for (const int note : notes_) {
      const double v = of(static_cast<std::size_t>(note - 1));
      values.push_back(std::isfinite(v) ? v : store::kUnknown);
    }
    table_.columns.push_back(
        number_column(name, make_meta_unknown_allowed(unit, display, "none", description), values));
  }
  template <class Of>
  void add_text(const std::string& name, const std::string& description, const Of& of) {
    std::vector<std::string> values;
    for (const int note : notes_) values.push_back(of(static_cast<std::size_t>(note - 1)));
    table_.columns.push_back(text_column(name, description, values));
  }
  const store::Table& table() const { return table_; }

 private:
  const std::vector<int>& notes_;
  store::Table table_;
};

std::vector<int> all_notes() {
  std::vector<int> out;
  for (int note = kFirstNote; note <= kLastNote; ++note) out.push_back(note);
  return out;
}

std::string stored_display(const SampleColumn& c) {
  return c.display_unit == "gf at 23 mm" ? "gf mm" : c.display_unit;
}

void write_carried(store::StudyWriter& w, const Keyboard& k) {
  const std::vector<int> notes = all_notes();
  NoteTable t(notes,
              "what the samples say about every note: value, one standard deviation, ends of the 95 % band");
  for (std::size_t c = 0; c < k.input.columns.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    const std::string word = column_word(column), display = stored_display(column);
    const auto at = [&](std::size_t i) { return value_at(column, k.carried[c], static_cast<int>(i) + 1); };
    t.add(word, column.unit, display, column.name, [&](std::size_t i) { return at(i).value; });
    t.add(word + "_sigma", column.unit, display, column.name + ", one standard deviation",
          [&](std::size_t i) { return at(i).sigma; });
    t.add(word + "_low", column.unit, display, column.name + ", lower end of the 95 % band",
          [&](std::size_t i) { return at(i).low; });
    t.add(word + "_high", column.unit, display, column.name + ", upper end of the 95 % band",
          [&](std::size_t i) { return at(i).high; });
    t.add(word + "_extrapolated", "1", "1", "1 where the note lies beyond the outermost samples",
          [&](std::size_t i) { return k.carried[c].notes[i].extrapolated ? 1.0 : 0.0; });
    store::Table s;
    s.description = column.name + " as read on the sample notes, and what the other samples expect";
    std::vector<double> note, value, sigma, expected, expected_sigma, outlier;
    const auto plain = [&](double v) { return column.logarithmic ? std::exp(v) : v; };
    for (const JudgedSample& one : k.carried[c].samples) {
      const double v = plain(one.value), e = plain(one.expected);
      note.push_back(one.note);
      value.push_back(v);
      sigma.push_back(column.logarithmic ? v * one.sigma : one.sigma);
      expected.push_back(std::isfinite(e) ? e : store::kUnknown);
      const double es = column.logarithmic ? e * one.expected_sigma : one.expected_sigma;
      expected_sigma.push_back(std::isfinite(es) ? es : store::kUnknown);
      outlier.push_back(one.outlier ? 1 : 0);
    }
    const auto meta = [&](const char* words) {
      return make_meta_unknown_allowed(column.unit, display, "none", column.name + words);
    };
    s.columns = {
        number_column("note", store::make_meta("1", "1", "none", "number of the note, 1 to 88"), note),
        number_column("value", meta(" as read"), value),
        number_column("sigma", meta(": standard deviation of the reading"), sigma),
        number_column("expected", meta(" by the other samples"), expected),
        number_column("expected_sigma", meta(": standard deviation of that, for a reading"), expected_sigma),
        number_column("outlier", store::make_meta("1", "1", "none", "1: not like the others"), outlier)};
    w.write_table("/keyboard/samples", word, s);
    const std::string here = "/keyboard/samples/" + word;
    w.write_attribute(here, "degree", k.carried[c].degree);
    w.write_attribute(here, "apart", k.carried[c].apart ? 1 : 0);
    w.write_attribute(here, "degrees_of_freedom", k.carried[c].freedom);
    w.write_attribute(here, "scatter", k.carried[c].scatter);
    w.write_attribute(here, "samples_to_halve", k.carried[c].samples_to_halve);
  }
  w.write_table("/keyboard", "carried", t.table());
}

void write_wanted(store::StudyWriter& w, const Keyboard& k) {
  for (std::size_t n = 0; n < k.wanted.size(); ++n) {
    const WantedPlaces& one = k.wanted[n];
    const std::vector<int> notes = all_notes();
    NoteTable t(notes,
                "wanted capstan places and the straight lines nearest to them; horizontally from the "
                "wippen centre, towards the player");
    const auto length = [&](const char* name, const char* words, const std::vector<double>& from) {
      t.add(name, "m", "mm", words, [&](std::size_t i) { return from[i]; });
    };
    length("wanted", "wanted place", one.place);
    t.add("sigma", "m", "mm", "its standard deviation, unknown where it was computed",
          [&](std::size_t i) { return one.sigma[i] > 0 ? one.sigma[i] : store::kUnknown; });
    length("least_squares", "straight line of least squares", one.squares.place);
    length("least_squares_miss", "that line less the wanted place", one.squares.miss);
    length("least_worst", "straight line of the least worst miss", one.worst.place);
    length("least_worst_miss", "that line less the wanted place", one.worst.miss);
    if (one.broken) {
      length("broken", "line of least squares with a break", one.broken->place);
      length("broken_miss", "that line less the wanted place", one.broken->miss);
    }
    const std::string name = fmt::format("{:02}", n);
    w.write_table("/keyboard/wanted", name, t.table());
    w.write_attribute("/keyboard/wanted/" + name, "wish", std::string(words_of(one.wish)));
    w.write_attribute("/keyboard/wanted/" + name, "break_after", one.break_after);
  }
}

void write_courses(store::StudyWriter& w, const Keyboard& k) {
  for (std::size_t n = 0; n < k.courses.size(); ++n) {
    const Course& c = k.courses[n];
    NoteTable t(k.notes, "every note regulated afresh and weighed");
    t.add("capstan_place", "m", "mm", "of the cap's middle, horizontally from the wippen centre",
          [&](std::size_t i) { return c.place[i]; });
    for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
      const study::MeasureInfo& info = study::kMeasures[q];
      // The weight ratio takes front weight for all there is: a spring is not in it.
      if (c.kind == CourseKind::kSprings && q == study::kWeightRatio) continue;
      t.add(info.key, info.unit, info.display_unit, info.name,
            [&](std::size_t i) { return c.measures[i][q]; });
    }
    t.add_text("why_not", "why a note has no numbers, empty where it has",
               [&](std::size_t i) { return c.why_not[i]; });
    w.write_table("/keyboard/courses", c.key, t.table());
    w.write_attribute(std::string("/keyboard/courses/") + c.key, "name", std::string(c.name));
    w.write_attribute(std::string("/keyboard/courses/") + c.key, "order", static_cast<int>(n));
  }
  if (!k.bands) return;
  const std::vector<int> notes = all_notes();
  NoteTable t(notes,
              "one standard deviation of every measure: what carrying the samples adds, and all together");
  for (std::size_t q = 0; q < study::kMeasureCount; ++q) {
    const study::MeasureInfo& info = study::kMeasures[q];
    t.add(std::string(info.key) + "_carried", info.unit, info.display_unit,
          std::string(info.name) + ": from carrying the samples",
          [&](std::size_t i) { return k.bands->carried[i][q]; });
    t.add(std::string(info.key) + "_all", info.unit, info.display_unit,
          std::string(info.name) + ": all inputs", [&](std::size_t i) { return k.bands->total[i][q]; });
  }
  w.write_table("/keyboard", "bands", t.table());
}

void write_leads(store::StudyWriter& w, const Keyboard& k) {
  if (k.leads.empty()) return;
  NoteTable t(k.notes, "leads for the wanted weight, three ways, and assist springs instead");
  const auto weight = [&](const char* name, const char* words, double NoteLeads::*member) {
    t.add(name, "N", "gf", words, [&](std::size_t i) { return k.leads[i].*member; });
  };
  weight("wanted_front_weight", "front weight that is needed", &NoteLeads::wanted_front_weight);
  weight("bare_front_weight", "front weight before these leads", &NoteLeads::bare_front_weight);
  weight("front_weight_limit", "front weight limit", &NoteLeads::front_weight_limit);
  weight("spring", "assist spring instead of leads, at the playing point", &NoteLeads::spring);
  weight("spring_over_limit", "assist spring beside leads up to the limit", &NoteLeads::spring_over_limit);
  std::vector<double> note, mass, distance;
  std::vector<std::string> way;
  for (std::size_t p = 0; p < std::size(kLeadWishes); ++p) {
    const std::string head = kLeadWishes[p];
    const auto plan = [&k, p](std::size_t i) -> const LeadPlan& { return k.leads[i].plans[p]; };
    t.add(head + "_count", "1", "1", "number of leads",
          [&](std::size_t i) { return static_cast<double>(plan(i).leads.size()); });
    t.add(head + "_mass", "kg", "g", "mass of all leads", [&](std::size_t i) { return plan(i).mass; });
    t.add(head + "_front_weight", "N", "gf", "front weight with them",
          [&](std::size_t i) { return k.leads[i].front_weight(static_cast<LeadWish>(p)); });
    t.add(head + "_error", "N", "gf", "front weight less what is needed",
          [&](std::size_t i) { return plan(i).error; });
    t.add(head + "_reflected", "kg", "g", "what the leads add to the mass at the playing point",
          [&](std::size_t i) { return plan(i).reflected; });
    for (const int n : k.notes)
      for (const auto& lead : plan(static_cast<std::size_t>(n - 1)).leads) {
        note.push_back(n);
        way.push_back(head);
        mass.push_back(lead.mass);
        distance.push_back(lead.distance);
      }
  }
  w.write_table("/keyboard", "leads", t.table());
  store::Table places;
  places.description = "every lead of every way";
  places.columns = {
      number_column("note", store::make_meta("1", "1", "none", "number of the note, 1 to 88"), note),
      text_column("way", "fewest, least_inertia or least_lead", way),
      number_column("mass", store::make_meta("kg", "g", "none", "of the lead"), mass),
      number_column("distance",
                    store::make_meta("m", "mm", "none", "from the balance hole, positive towards the player"),
                    distance)};
  w.write_table("/keyboard", "lead_places", places);
}

}  // namespace

std::string column_word(const SampleColumn& c) {
  std::string word = c.key.rfind("measured.", 0) == 0 ? c.key.substr(9) : c.key;
  for (char& ch : word)
    if (ch == '.') ch = '_';
  return word;
}

void write_keyboard(const case_file::CaseDescription& d, const Keyboard& k, const std::string& path) {
  study::StudyFile file(d, path);
  const std::vector<std::string> warnings = file.add_base(d);
  store::StudyWriter& w = file.writer();
  w.write_text("/keyboard", "samples_text", k.input.samples_text, "the sheet of sample notes, word for word");
  write_carried(w, k);
  write_courses(w, k);
  write_wanted(w, k);
  write_leads(w, k);
  if (!k.warnings.empty()) w.write_strings("/keyboard", "warnings", k.warnings, "what to know of this study");
  if (k.complete)
    file.finish(warnings);
  else
    file.stop("interrupted by the user; notes without numbers were not reached");
}

}  // namespace leverwright::keyboard

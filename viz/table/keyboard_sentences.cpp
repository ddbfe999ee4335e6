#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/units.h"
#include "viz/table/keyboard_table.h"

namespace leverwright::table {

using namespace keyboard;
using study::kMeasures;

namespace {

constexpr double kGf = 1 / base::kGramForce, kMm = 1e3, kG = 1e3;

// Notes as a person lists them: "A0 to C1, F#5".
std::string note_list(const std::vector<int>& notes) {
  std::string out;
  for (std::size_t i = 0; i < notes.size();) {
    std::size_t j = i;
    while (j + 1 < notes.size() && notes[j + 1] == notes[j] + 1) ++j;
    out += (out.empty() ? "" : ", ") + note_name(notes[i]);
    if (j > i) out += (j == i + 1 ? ", " : " to ") + note_name(notes[j]);
    i = j + 1;
  }
  return out;
}

const study::Measures& at(const Course& c, int note) {
  return c.measures[static_cast<std::size_t>(note - 1)];
}

// Mean and greatest change of a measure from one course to another over the notes asked.
struct Change {
  double mean_size = 0, most = 0;
  int note = 0;
};
Change change_of(const Keyboard& k, const Course& from, const Course& to, study::MeasureIndex m) {
  Change out;
  int count = 0;
  for (const int note : k.notes) {
    const double d = at(to, note)[m] - at(from, note)[m];
    if (!std::isfinite(d)) continue;
    out.mean_size += std::abs(d);
    ++count;
    if (std::abs(d) > std::abs(out.most)) {
      out.most = d;
      out.note = note;
    }
  }
  if (count > 0) out.mean_size /= count;
  return out;
}

void tell_samples(const Keyboard& k, std::vector<std::string>& out) {
  for (std::size_t c = 0; c < k.carried.size(); ++c) {
    const SampleColumn& column = k.input.columns[c];
    const auto shown = [&](double v) {
      return fixed((column.logarithmic ? std::exp(v) : v) * column.display_factor, column.decimals);
    };
    for (const JudgedSample& s : k.carried[c].samples)
      if (s.outlier)
        out.push_back(fmt::format(
            "Not like the others: {} of {} reads {} {}, the other samples expect {} +- {}. Measure it again; "
            "as long as "
            "it stays in the sheet it widens every band.",
            column.name, note_name(s.note), shown(s.value), column.display_unit, shown(s.expected),
            fixed(s.expected_sigma * (column.logarithmic ? std::exp(s.expected) : 1) * column.display_factor,
                  column.decimals)));
  }
}

void tell_line(const Keyboard& k, std::vector<std::string>& out) {
  if (k.wanted.empty()) return;
  const WantedPlaces& w = k.wanted.front();
  const LineSection& line = w.squares.sections.front();
  out.push_back(fmt::format(
      "Capstans (plugged and re-drilled: NOT REVERSIBLE), wanted {}: the nearest straight line goes from {} "
      "mm at {} to {} mm at {}, in front of the "
      "line of "
      "wippen centres. It misses the wanted places by {} mm (root mean square), at worst by {} mm at {}. The "
      "line of "
      "the least worst miss goes from {} to {} mm and misses by no more than {} mm.",
      words_of(w.wish), fixed(line.at_from * kMm, 1), note_name(line.from), fixed(line.at_to * kMm, 1),
      note_name(line.to), fixed(w.squares.rms * kMm, 2), fixed(w.squares.worst * kMm, 2),
      note_name(w.squares.worst_note), fixed(w.worst.sections.front().at_from * kMm, 1),
      fixed(w.worst.sections.front().at_to * kMm, 1), fixed(w.worst.worst * kMm, 2)));
  double sharp = 0, natural = 0;
  int sharps = 0, naturals = 0;
  for (const int note : k.notes) {
    const double miss = w.squares.miss[static_cast<std::size_t>(note - 1)];
    if (std::isnan(miss)) continue;
    (is_sharp(note) ? sharp : natural) += miss;
    ++(is_sharp(note) ? sharps : naturals);
  }
  if (sharps > 0 && naturals > 0) {
    const double apart = natural / naturals - sharp / sharps;
    const SampleColumn* column = k.input.find("wanted_capstan");
    std::string sure;
    if (w.wish == CapstanWish::kMeasured && column != nullptr && column->law.apart)
      sure = fmt::format(
          " (+- {})",
          fixed(
              k.carried[static_cast<std::size_t>(column - k.input.columns.data())].sharp_less_natural_sigma *
                  kMm,
              1));
    if (std::abs(apart) > 0.1e-3)
      out.push_back(fmt::format(
          "Sharps want their capstans {}{} mm further {} than naturals on average; one straight line serves "
          "neither fully.",
          fixed(std::abs(apart) * kMm, 1), sure,
          apart > 0 ? "from the wippen centres" : "towards the wippen centres"));
  }
  if (w.broken)
    out.push_back(
        fmt::format("With a break after {} the root mean square of the misses would be {} instead of {} mm, "
                    "the worst {} mm.",
                    note_name(w.break_after), fixed(w.broken->rms * kMm, 2), fixed(w.squares.rms * kMm, 2),
                    fixed(w.broken->worst * kMm, 2)));
  for (std::size_t n = 1; n < k.wanted.size(); ++n) {
    const WantedPlaces& other = k.wanted[n];
    const LineSection& section = other.squares.sections.front();
    out.push_back(fmt::format(
        "Wanted {} instead, the line would go from {} to {} mm (misses {} mm, at worst {} mm at {}).",
        words_of(other.wish), fixed(section.at_from * kMm, 1), fixed(section.at_to * kMm, 1),
        fixed(other.squares.rms * kMm, 2), fixed(other.squares.worst * kMm, 2),
        note_name(other.squares.worst_note)));
  }
}

void tell_losses(const Keyboard& k, std::vector<std::string>& out) {
  const Course *own = k.find(CourseKind::kOwnPlace), *line = k.find(CourseKind::kNearestLine);
  if (!own || !line) return;
  const Change down = change_of(k, *own, *line, study::kDownWeight),
               friction = change_of(k, *own, *line, study::kFriction),
               ratio = change_of(k, *own, *line, study::kDistanceRatio),
               aftertouch = change_of(k, *own, *line, study::kAftertouch);
  if (down.note == 0) return;
  out.push_back(fmt::format(
      "What a note loses on that line against its own place, regulated afresh on both: down weight {} gf on "
      "average, at "
      "most {} gf at {}; friction {} gf, at most {} gf at {}; distance ratio at most {} at {}; aftertouch at "
      "most {} mm "
      "at {}.",
      fixed(down.mean_size * kGf, 1), fixed_signed(down.most * kGf, 1), note_name(down.note),
      fixed(friction.mean_size * kGf, 2), fixed_signed(friction.most * kGf, 2),
      note_name(std::max(friction.note, 1)), fixed_signed(ratio.most, 2), note_name(std::max(ratio.note, 1)),
      fixed_signed(aftertouch.most * kMm, 2), note_name(std::max(aftertouch.note, 1))));
}

// How sure a loss is: the wanted place is not known better than its own standard deviation.
void tell_loss_sureness(const Keyboard& k, std::vector<std::string>& out) {
  const Course *own = k.find(CourseKind::kOwnPlace), *line = k.find(CourseKind::kNearestLine);
  if (!own || !line || k.wanted.empty()) return;
  const WantedPlaces& w = k.wanted.front();
  // Gram-force a millimetre, by least squares through nothing.
  double up = 0, below = 0, sigma = 0;
  int n = 0;
  for (const int note : k.notes) {
    const auto i = static_cast<std::size_t>(note - 1);
    const double lost = line->measures[i][study::kDownWeight] - own->measures[i][study::kDownWeight];
    if (!std::isfinite(lost) || !(w.sigma[i] > 0)) continue;
    up += lost * w.squares.miss[i];
    below += w.squares.miss[i] * w.squares.miss[i];
    sigma += w.sigma[i];
    ++n;
  }
  if (n == 0 || !(below > 0)) return;
  out.push_back(
      fmt::format("A millimetre of capstan is worth {} gf of down weight. The wanted places are known to +- "
                  "{} mm on average, so what a "
                  "note loses is known to +- {} gf.",
                  fixed(std::abs(up / below) * kGf / kMm, 1), fixed(sigma * kMm / n, 1),
                  fixed(std::abs(up / below) * kGf * sigma / n, 1)));
}

void tell_leads(const Keyboard& k, std::vector<std::string>& out) {
  if (k.leads.empty()) return;
  double mass[3] = {}, reflected[3] = {};
  int count[3] = {}, keys = 0;
  std::vector<int> over, out_of_reach, heavy_already, rear;
  for (const int note : k.notes) {
    const NoteLeads& l = k.leads[static_cast<std::size_t>(note - 1)];
    if (!std::isfinite(l.wanted_front_weight)) continue;
    ++keys;
    for (std::size_t p = 0; p < 3; ++p) {
      mass[p] += l.plans[p].mass;
      reflected[p] += l.plans[p].reflected;
      count[p] += static_cast<int>(l.plans[p].leads.size());
    }
    if (l.front_weight(LeadWish::kFewest) > l.front_weight_limit) over.push_back(note);
    if (!l.plans[0].found)
      (l.wanted_front_weight < l.bare_front_weight ? heavy_already : out_of_reach).push_back(note);
    if (!l.plans[0].leads.empty() && l.plans[0].leads.front().distance < 0) rear.push_back(note);
  }
  if (keys == 0) return;
  out.push_back(
      fmt::format("Leads: {} leads ({} g) with the fewest holes, {} ({} g) with the least inertia close to "
                  "the balance rail, {} ({} g) "
                  "with the least lead far out. The same front weight each time, but the leads alone add {}, "
                  "{} and {} g to the mass "
                  "that the finger meets, on average over {} keys.",
                  count[0], fixed(mass[0] * kG, 0), count[1], fixed(mass[1] * kG, 0), count[2],
                  fixed(mass[2] * kG, 0), fixed(reflected[0] * kG / keys, 0),
                  fixed(reflected[1] * kG / keys, 0), fixed(reflected[2] * kG / keys, 0), keys));
  if (const Course* leaded = k.find(CourseKind::kLeads)) {
    double all = 0;
    int n = 0;
    for (const int note : k.notes)
      if (std::isfinite(at(*leaded, note)[study::kReflectedMass])) {
        all += at(*leaded, note)[study::kReflectedMass];
        ++n;
      }
    if (n > 0)
      out.push_back(
          fmt::format("Of the {} g that the finger meets at half stroke with the fewest leads, on average, "
                      "{} % is lead; putting them "
                      "near the balance rail saves {} %, leaving them out (assist springs) {} %.",
                      fixed(all * kG / n, 0), fixed(100 * (reflected[0] / keys) / (all / n), 0),
                      fixed(100 * ((reflected[0] - reflected[1]) / keys) / (all / n), 0),
                      fixed(100 * (reflected[0] / keys) / (all / n), 0)));
  }
  if (!out_of_reach.empty())
    out.push_back(
        fmt::format("Out of reach of the allowed leads: {}. More leads, heavier ones, or places further out "
                    "are needed there.",
                    note_list(out_of_reach)));
  if (!heavy_already.empty())
    out.push_back(fmt::format(
        "Too heavy in front already, without a lead: {}. Take lead out there, put it behind the balance "
        "hole (rear_from, rear_to), or accept the lower balance weight; never more in front.",
        note_list(heavy_already)));
  if (!rear.empty()) out.push_back("Leads behind the balance hole: " + note_list(rear) + ".");
  if (!over.empty())
    out.push_back(
        fmt::format("Front weight over the limit: {}. A key that heavy in front feels slow; lighter "
                    "hammers, a lower ratio, or an "
                    "assist spring for the rest would help.",
                    note_list(over)));
  const Course *leaded = k.find(CourseKind::kLeads), *sprung = k.find(CourseKind::kSprings);
  if (!leaded || !sprung) return;
  const Change down = change_of(k, *leaded, *sprung, study::kDownWeight),
               up = change_of(k, *leaded, *sprung, study::kUpWeight);
  double saved = 0, strongest = 0;
  int n = 0, note_strongest = 0;
  for (const int note : k.notes) {
    const double d = at(*leaded, note)[study::kReflectedMass] - at(*sprung, note)[study::kReflectedMass];
    if (std::isfinite(d)) {
      saved += d;
      ++n;
    }
    if (const double s = k.leads[static_cast<std::size_t>(note - 1)].spring; s > strongest) {
      strongest = s;
      note_strongest = note;
    }
  }
  if (n == 0) return;
  std::vector<int> weak;
  for (const int note : k.notes) {
    const NoteLeads& l = k.leads[static_cast<std::size_t>(note - 1)];
    if (l.wanted_front_weight - l.bare_front_weight > l.spring + 1e-9) weak.push_back(note);
  }
  if (!weak.empty())
    out.push_back(fmt::format(
        "More than the strongest spring allowed ({} gf) would be needed for {}: leads for the rest.",
        fixed(strongest * kGf, 0), note_list(weak)));
  out.push_back(fmt::format(
      "Assist springs instead of all leads: up to {} gf at the playing point ({}). Down weight differs from "
      "the "
      "leaded key's by at most {} gf ({}), up weight by {} gf ({}; a spring fades as the key goes down), and "
      "the finger "
      "meets {} g less. A key on springs can feel bouncy.",
      fixed(strongest * kGf, 0), note_name(std::max(note_strongest, 1)), fixed_signed(down.most * kGf, 1),
      note_name(std::max(down.note, 1)), fixed_signed(up.most * kGf, 1), note_name(std::max(up.note, 1)),
      fixed(saved * kG / n, 0)));
}

// How many more samples halve a standard deviation of which only `carried` shrinks.
std::string halving_words(double carried, double scatter, double total, std::size_t samples) {
  const double common2 = total * total - carried * carried, quarter = 0.25 * total * total;
  if (!(quarter > scatter * scatter))
    return "more sample notes cannot halve it: the rest differs from note to note; weigh a note to know it";
  if (!(quarter > common2))
    return "more sample notes cannot halve it: the rest is what all notes share; calibrate frictions and "
           "cloth "
           "constants on the samples (leverwright calibrate)";
  const double more = static_cast<double>(samples) * (carried * carried / (quarter - common2) - 1);
  return fmt::format("about {:.0f} more sample notes would halve it", std::ceil(more));
}

void tell_sureness(const Keyboard& k, std::vector<std::string>& out) {
  out.insert(out.end(), k.leans_on.begin(), k.leans_on.end());
  if (k.bands && !k.notes.empty()) {
    const int middle = k.notes[k.notes.size() / 2];
    const std::array<int, 3> where = {k.notes.front(), middle, k.notes.back()};
    for (const study::MeasureIndex m : {study::kDownWeight, study::kFriction}) {
      std::string each;
      for (const int note : where)
        each += fmt::format("{}{} gf at {} ({} of it from carrying)", each.empty() ? "+- " : ", ",
                            fixed(k.bands->total[static_cast<std::size_t>(note - 1)][m] * kGf, 1),
                            note_name(note),
                            fixed(k.bands->carried[static_cast<std::size_t>(note - 1)][m] * kGf, 1));
      const auto mid = static_cast<std::size_t>(middle - 1);
      out.push_back(fmt::format("How sure: {} as found {}; most of it comes from {} ({} %), and {}.",
                                kMeasures[m].name, each, k.bands->dominant[m],
                                fixed(100 * k.bands->dominant_share[m], 0),
                                halving_words(k.bands->carried[mid][m], k.bands->scatter[mid][m],
                                              k.bands->total[mid][m], k.input.sampled.size())));
    }
  }
  for (const char* key : {"measured.down_weight", "measured.up_weight"}) {
    const SampleColumn* column = k.input.find(key);
    if (column == nullptr || k.notes.empty()) continue;
    const Carried& c = k.carried[static_cast<std::size_t>(column - k.input.columns.data())];
    std::string each;
    for (const int note : {k.notes.front(), k.notes[k.notes.size() / 2], k.notes.back()})
      each += fmt::format("{}{} +- {} gf at {}", each.empty() ? "" : ", ", fixed(c.at(note).value * kGf, 1),
                          fixed(c.at(note).sigma * kGf, 1), note_name(note));
    out.push_back(fmt::format(
        "Without the model, the readings themselves carried: {} {}; {}.", column->name, each,
        c.samples_to_halve > 0 ? fmt::format("{} more samples would halve that band", c.samples_to_halve)
                               : std::string("no number of samples would halve it")));
  }
  for (const study::MeasureIndex m : {study::kDownWeight, study::kUpWeight}) {
    double mean = 0, square = 0;
    int n = 0, within = 0;
    for (const SampleCheck& c : k.checks)
      if (c.measure == m) {
        const double d = c.read - c.model;
        mean += d;
        square += d * d;
        ++n;
        within += std::abs(d) <= 1.96 * std::hypot(c.read_sigma, c.model_sigma);
      }
    if (n == 0) continue;
    out.push_back(fmt::format(
        "On the {} sample notes where it was read, {} as read is {} gf from the model's on average (root "
        "mean "
        "square {} gf){}.",
        n, kMeasures[m].name, fixed_signed(mean * kGf / n, 1), fixed(std::sqrt(square / n) * kGf, 1),
        k.bands ? fmt::format("; {} of {} agree within both uncertainties", within, n) : ""));
  }
  std::vector<int> beyond;
  for (const int note : k.notes)
    for (const Carried& c : k.carried)
      if (c.scatter_known && c.at(note).extrapolated && (beyond.empty() || beyond.back() != note))
        beyond.push_back(note);
  if (!beyond.empty())
    out.push_back("Beyond the outermost samples of their kind, extrapolated: " + note_list(beyond) + ".");
}

}  // namespace

std::vector<std::string> keyboard_sentences(const Keyboard& k) {
  std::vector<std::string> out;
  tell_samples(k, out);
  tell_line(k, out);
  tell_losses(k, out);
  tell_loss_sureness(k, out);
  tell_leads(k, out);
  tell_sureness(k, out);
  for (const Course& c : k.courses) {
    std::vector<int> missing;
    for (const int note : k.notes)
      if (!c.why_not[static_cast<std::size_t>(note - 1)].empty()) missing.push_back(note);
    if (!missing.empty())
      out.push_back(fmt::format("No answer with \"{}\" for {}: {}.", c.name, note_list(missing),
                                c.why_not[static_cast<std::size_t>(missing.front() - 1)]));
  }
  for (const std::string& w : k.warnings) out.push_back(w);
  return out;
}

}  // namespace leverwright::table

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <kainjow/mustache.hpp>
#include <sstream>

#include "sim/base/error.h"
#include "viz/chart/draw_chart.h"
#include "viz/figures/draw_figures.h"
#include "viz/film/film.h"
#include "viz/paper/paper.h"
#include "viz/report/report.h"
#include "viz/report/template.h"
#include "viz/scene/base64.h"
#include "viz/scene/output_file.h"
#include "viz/scene/work_folder.h"
#include "viz/study_file/words.h"
#include "viz/table/cautions.h"

namespace leverwright::report {
namespace {
namespace fs = std::filesystem;
using kainjow::mustache::data;

constexpr size_t kLargestFilm = 8000000;  // bytes put into the page

std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

std::string as_data(const std::string& kind, const std::string& bytes) {
  return "data:" + kind + ";base64," + scene::encode_base64(bytes);
}

data figure(const std::string& picture, const std::string& alt, const std::string& caption) {
  data f;
  f.set("data", picture);
  f.set("alt", alt);
  f.set("caption", caption);
  return f;
}

// "+-" of the tables as the sign it stands for, kept together with the numbers beside it.
std::string with_signs(std::string text) {
  const std::string plain = " +- ", sign = "\u00a0\u00b1\u00a0";
  for (size_t at = text.find(plain); at != std::string::npos; at = text.find(plain, at + sign.size()))
    text.replace(at, plain.size(), sign);
  return text;
}

data flag(bool on) { return data(on ? data::type::bool_true : data::type::bool_false); }

data list_of(const std::vector<std::string>& words) {
  data out(data::type::list);
  for (const std::string& word : words) out.push_back(data(word));
  return out;
}

data write_figures(const study_file::StoredStudy& file, const study_file::Content& c,
                   const std::string& scratch) {
  const study_file::StudyFigures study = study_file::read_curves(file);
  data out(data::type::list);
  int drawn = 0;
  const auto add_chart = [&](const chart::Chart& chart, const std::string& alt, const std::string& caption) {
    const auto files =
        chart::draw_chart(chart, scratch + "/chart" + std::to_string(++drawn), {chart::Format::kSvg});
    out.push_back(figure(as_data("image/svg+xml", slurp(files.front())), alt, caption));
  };
  for (const auto& set_ups : study.action.moments) {
    if (set_ups.empty() || set_ups.front().moment.name != "half stroke") continue;
    scene::ActionSceneOptions options;
    options.title = set_ups.front().name;
    options.trace_words = "N on the slide path";
    const std::string path = paper::draw_svg(build_overlay_scene(set_ups, options), scene::Page{},
                                             scratch + "/action" + std::to_string(++drawn) + ".svg");
    out.push_back(figure(
        as_data("image/svg+xml", slurp(path)),
        "Side view of the action at half stroke, with the place where capstan and heel meet enlarged for "
        "every set-up",
        "The action to scale at half stroke. Enlarged: heel and capstan of every set-up, and the knuckle."));
  }
  if (study.changes.size() > 0)
    add_chart(
        figures::build_changes("", study.changes, study.ledgers.empty() ? "" : study.ledgers.front().set_up),
        "Bars: predicted change of down weight, up weight, friction and aftertouch for each set-up, "
        "with its uncertainty",
        "What would change against \u201c" + c.set_ups.front().name + "\u201d, and how sure that is.");
  if (!study.force_dip.empty())
    add_chart(figures::build_force_dip("", study.force_dip),
              "Curves of the force at the key against its dip, going down and coming up, for each set-up",
              "Force a slow key needs going down (upper lines) and coming up (lower lines).");
  if (!study.ledgers.empty())
    add_chart(figures::build_ledger("", study.ledgers),
              "Bars: friction lost at each place of the action, for each set-up", "Where the friction is.");
  std::vector<study_file::Stroke> mf;
  for (const study_file::Stroke& s : study.strokes)
    if (s.touch == "mf") mf.push_back(s);
  if (!mf.empty()) {
    chart::Chart stroke = figures::build_stroke("", mf, figures::StrokePart::kBlow);
    stroke.height_mm = 120;  // two pictures to a printed page
    add_chart(stroke, "Key dip, hammer height and hammer speed over time in one stroke, for each set-up",
              "One stroke at mf: key, hammer and what happens when.");
  }
  return out;
}

// Film and stills of the first set-up beside the one of the answer. False when stopped.
bool add_film(const study_file::StoredStudy& file, const study_file::Content& c, const Options& options,
              const std::string& scratch, data* page, Written* written) {
  page->set("has_film", flag(false));
  const std::vector<std::string> strokes = study_file::common_strokes(file);
  if (!options.with_film) {
    written->film = "none, as asked";
    return true;
  }
  if (strokes.empty()) {
    written->film = "none: the study holds no strokes";
    return true;
  }
  film::FilmRequest request;
  request.stroke = std::find(strokes.begin(), strokes.end(), "mf") != strokes.end() ? "mf" : strokes.front();
  // The one of the answer; where nothing is advised, the first beside the base.
  const study_file::SetUpWords* other = c.set_ups.size() > 1 ? &c.set_ups[1] : nullptr;
  for (size_t k = 1; k < c.set_ups.size(); ++k)
    if (!c.advised.empty() && c.set_ups[k].name == c.advised.front()) other = &c.set_ups[k];
  request.strokes.push_back(study_file::read_stroke(file, c.set_ups.front().name, request.stroke));
  if (other != nullptr) {
    request.strokes.push_back(study_file::read_stroke(file, other->name, request.stroke));
    request.arrangement = film::Arrangement::kBeside;
  }
  request.title =
      request.strokes.front().label + (other != nullptr ? " and " + request.strokes.back().label : "");
  request.width = 960;
  request.height = 540;
  request.rate = 24;
  std::string path = options.film;
  if (path.empty()) {
    try {
      path = scratch + "/film" + film::find_film_kind();
      const film::Written made = film::write_film(request, {path, ""}, [&](double share) {
        return !options.progress || options.progress("drawing the film", share);
      });
      if (made.stopped) return false;
      written->film = fmt::format("film of {} frames", made.frames);
    } catch (const base::UserError& error) {
      path.clear();
      written->film = "still pictures: " + (error.problems().empty() ? std::string("no film could be made")
                                                                     : error.problems().front().what);
    }
  } else if (!fs::is_regular_file(path)) {
    throw base::UserError("the film " + path + " is not there",
                          "make it with leverwright film, or leave out --film");
  } else {
    written->film = path;
  }
  std::string words = film::describe(request);
  if (!path.empty()) {
    const std::string bytes = slurp(path);
    if (bytes.size() <= kLargestFilm) {
      // A film made before says itself what it shows; the pictures below it are of this page's own two.
      const std::string own = film::find_words(bytes);
      if (!options.film.empty() && own != words)
        words = (own.empty() ? "A film that does not say what it shows." : own) +
                (other != nullptr ? " The pictures below it: \u201c" + request.strokes.front().label +
                                        "\u201d and \u201c" + request.strokes.back().label + "\u201d."
                                  : "");
      const std::string kind = std::filesystem::path(path).extension().string();
      page->set("film", as_data(kind == ".webm"  ? "video/webm"
                                : kind == ".ogv" ? "video/ogg"
                                                 : "video/mp4",
                                bytes));
    } else {
      written->film =
          fmt::format("still pictures: the film is {:.0f} MB", 1e-6 * static_cast<double>(bytes.size()));
    }
  }
  data stills(data::type::list);
  const film::FilmScene scenes(request);
  scene::Page sheet;
  sheet.width_mm = film::kStillWidth + 2;
  sheet.scale = 1;
  sheet.margin_mm = 1;
  for (const char* event : {"jack trips", "check", "string contact"}) {
    if (stills.list_value().size() == 2) break;  // what fits on a printed page
    for (const auto& e : request.strokes.front().events) {
      if (e.name != event) continue;
      const std::string still =
          paper::draw_svg(scenes.build_still(e.time, e.name), sheet,
                          scratch + "/still" + std::to_string(stills.list_value().size()) + ".svg");
      stills.push_back(figure(
          as_data("image/svg+xml", slurp(still)),
          fmt::format("The action at {}, {:.1f} ms on the stroke's clock", e.name, 1e3 * e.time),
          fmt::format("At {}, {:.1f} ms after the finger was laid on the key.", e.name, 1e3 * e.time)));
      break;
    }
  }
  page->set("stills", std::move(stills));
  page->set("film_words", words);
  page->set("has_film", flag(true));
  return true;
}

void add_table(const study_file::Content& c, Audience audience, data* page) {
  data measures(data::type::list), rows(data::type::list);
  for (const study_file::Measure& m : c.measures) {
    data d;
    d.set("name", m.name);
    d.set("unit", m.unit);
    measures.push_back(d);
  }
  for (const study_file::SetUpWords& s : c.set_ups) {
    data row, cells(data::type::list);
    for (const study_file::Cell& cell : s.cells) {
      data d;
      std::string text = cell.value;
      if (!cell.change.empty() && audience != Audience::kCustomer)
        text = cell.change + (cell.sigma.empty() ? "" : " \u00b1 " + cell.sigma);
      d.set("text", text);
      const std::string& word = cell.verdict;
      d.set("word", word.empty() ? flag(false) : data(word));
      d.set("kind", word.find("better") != std::string::npos  ? std::string("better")
                    : word.find("worse") != std::string::npos ? std::string("worse")
                                                              : std::string("plain"));
      cells.push_back(d);
    }
    row.set("name", s.name);
    row.set("undone", s.undone.empty() ? flag(false) : data(s.undone));
    row.set("cells", std::move(cells));
    rows.push_back(row);
  }
  page->set("measures", std::move(measures));
  page->set("rows", std::move(rows));
  const std::string& base = c.set_ups.front().name;
  page->set("table_caption",
            audience == Audience::kCustomer
                ? "Each set-up regulated to the same specification."
                : "First row: values. Other rows: change against it, with one standard deviation.");
  page->set(
      "table_words",
      audience == Audience::kCustomer
          ? "Each row is one way of setting the piano up. \u201cNo change\u201d means nobody would "
            "notice it, \u201ccannot tell\u201d that it may turn out either way; the weights are what it "
            "takes to press a key slowly and what it gives back."
          : "Every set-up was regulated afresh to the same specification before it was compared with \u201c" +
                base + "\u201d.");
}

data named_lists(const study_file::Content& c, std::vector<std::string> study_file::SetUpWords::*list) {
  data out(data::type::list);
  for (const study_file::SetUpWords& s : c.set_ups) {
    if ((s.*list).empty()) continue;
    data d;
    d.set("name", s.name);
    d.set("list", list_of(s.*list));
    out.push_back(d);
  }
  return out;
}

}  // namespace

Written write_report(const std::string& results_path, const std::string& path, const Options& options) {
  const study_file::StoredStudy file(results_path);
  const study_file::Content c = study_file::read_words(file);
  scene::OutputFile out(path);  // refused before any work
  const scene::WorkFolder scratch;
  Written written;
  written.path = path;
  const auto go_on = [&](const char* doing, double share) {
    return !options.progress || options.progress(doing, share);
  };
  if (!go_on("drawing pictures", 0)) {
    written.stopped = true;
    return written;
  }
  const bool customer = options.audience == Audience::kCustomer;
  data page;
  page.set("title", c.title);
  page.set("audience", customer                                  ? "For the customer"
                       : options.audience == Audience::kTraining ? "For training"
                                                                 : "For the workshop");
  page.set("question", c.question.empty() ? flag(false) : data(c.question));
  page.set("answer", with_signs(c.answer.front()));
  std::vector<std::string> more;
  for (size_t k = 1; k < c.answer.size(); ++k) more.push_back(with_signs(c.answer[k]));
  page.set("more_answer", list_of(more));
  page.set("invented", flag(c.invented));
  page.set("stopped", flag(c.status != "complete"));
  page.set("status", c.status);
  page.set("version", c.version);
  page.set("created", c.created);
  page.set("case_path", c.case_path.empty() ? "not named" : c.case_path);
  page.set("study", fs::path(results_path).filename().string());
  add_table(c, options.audience, &page);
  page.set("has_failed", flag(!c.failed.empty()));
  page.set("failed", list_of(c.failed));
  page.set("has_rests_on", flag(!c.rests_on.empty()));
  page.set("rests_on", list_of(c.rests_on));
  data verdicts(data::type::list);
  for (size_t k = 1; k < c.set_ups.size(); ++k) {
    data d;
    d.set("name", c.set_ups[k].name);
    d.set("text", with_signs(c.set_ups[k].verdict));
    d.set("undone", c.set_ups[k].undone.empty() ? flag(false) : data(c.set_ups[k].undone));
    verdicts.push_back(d);
  }
  page.set("verdicts_shown", flag(!customer && c.set_ups.size() > 1));
  page.set("verdicts", std::move(verdicts));
  page.set("figures", write_figures(file, c, scratch.path()));
  if (!add_film(file, c, options, scratch.path(), &page, &written)) {
    written.stopped = true;
    return written;
  }
  page.set("workshop", flag(options.audience == Audience::kWorkshop));
  page.set("training", flag(options.audience == Audience::kTraining));
  page.set("screws", named_lists(c, &study_file::SetUpWords::screws));
  const bool warned = std::any_of(c.set_ups.begin(), c.set_ups.end(),
                                  [](const study_file::SetUpWords& s) { return !s.warnings.empty(); });
  page.set("has_warnings", flag(warned));
  page.set("warnings", named_lists(c, &study_file::SetUpWords::warnings));
  page.set(
      "sure_words",
      customer
          ? "These are predictions from measurements of one note. Where the difference is smaller than the "
            "measurements allow us to see, the table says so. Nothing irreversible should be done before a "
            "trial note has been tried."
          : "One standard deviation stands behind each change; it includes the measurements' own errors and "
            "the ranges of estimated constants (friction coefficients, cloth stiffnesses), and errors common "
            "to both set-ups cancel. A change within about two of them cannot be told apart from none. "
            "Numbers of played strokes carry no uncertainty.");
  data cautions(data::type::list);
  for (const table::Caution& caution : table::all_cautions()) {
    data d;
    d.set("about", caution.about);
    d.set("text", caution.text);
    cautions.push_back(d);
  }
  page.set("cautions", std::move(cautions));
  page.set(
      "assumptions",
      list_of(
          {"Every set-up is regulated to the same specification before it is compared.",
           "The action is seen from the side: sideways lean, twist and offsets across the key are not in it.",
           "Friction coefficients and cloth stiffnesses are estimates with ranges until they are measured.",
           "Dampers and the bending of shank, key and check wire are left out unless the case switches them "
           "on.",
           "A prediction is no substitute for a trial note."}));
  kainjow::mustache::mustache tmpl(kPage);
  const std::string html = tmpl.render(page);
  if (!tmpl.is_valid())
    throw base::UserError("the report's page could not be filled: " + tmpl.error_message());
  out.write(html);
  out.keep();
  written.bytes = html.size();
  return written;
}

}  // namespace leverwright::report

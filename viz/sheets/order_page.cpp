#include <fmt/format.h>

#include <cmath>
#include <kainjow/mustache.hpp>

#include "models/study/remedies.h"
#include "sim/base/error.h"
#include "sim/base/version.h"
#include "viz/scene/base64.h"
#include "viz/sheets/drawings.h"
#include "viz/sheets/pages.h"
#include "viz/sheets/templates.h"
#include "viz/table/order_table.h"

namespace leverwright::sheets {

using kainjow::mustache::data;

namespace {

data flag(bool on) { return data(on ? data::type::bool_true : data::type::bool_false); }

data text_or_nothing(const std::string& text) { return text.empty() ? flag(false) : data(text); }

// "-3.3 +- 0.6 gf" as print has it.
std::string printed(std::string text) {
  for (auto at = text.find("+-"); at != std::string::npos; at = text.find("+-", at))
    text.replace(at, 2, "\u00b1");
  return text;
}

class Steps {  // numbered through the whole order
 public:
  data list(const std::vector<std::string>& texts, const workshop::OrderTask* task = nullptr) {
    data out(data::type::list);
    for (std::size_t k = 0; k < texts.size(); ++k) {
      const std::string& text = texts[k];
      data s;
      s.set("step", std::to_string(++count_));
      s.set("text", text);
      s.set("never", flag(task != nullptr && task->is_no_way_back(k)));
      out.push_back(s);
    }
    return out;
  }

 private:
  int count_ = 0;
};

data marks_of(const workshop::OrderTask& t) {
  data out(data::type::list);
  for (const auto& m : t.marks) {
    data d;
    d.set("what", m.what);
    d.set("value", table::fixed(m.value, m.decimals));
    d.set("unit", m.unit);
    std::string tolerance = table::tolerance_words(m);
    if (m.tolerance > 0 && m.critical && !m.because.empty()) tolerance += " (" + m.because + ")";
    d.set("tolerance", printed(tolerance));
    d.set("from", m.from);
    out.push_back(d);
  }
  return out;
}

data list_of(const std::vector<std::string>& words) {
  data out(data::type::list);
  for (const auto& word : words) out.push_back(data(word));
  return out;
}

data tasks_of(const workshop::WorkOrder& o, Steps& steps) {
  data out(data::type::list);
  for (const auto& t : o.tasks) {
    data d;
    d.set("kind", t.kind);
    const std::string back = table::reversible_words(t);
    d.set("never", text_or_nothing(t.irreversible() ? back : ""));
    d.set("back", text_or_nothing(t.irreversible() ? "" : back));
    d.set("alters", t.spec->alters);
    d.set("labour", case_file::labour_words(t.spec->labour) + ".");
    d.set("marks", marks_of(t));
    d.set("steps", steps.list(t.steps, &t));
    data remarks(data::type::list);
    for (const auto& text : t.notes) {
      data r;
      r.set("text", printed(text));
      remarks.push_back(r);
    }
    d.set("remarks", std::move(remarks));
    d.set("tools", fmt::format("{}", fmt::join(t.tools, "; ")));
    d.set("worry", t.spec->worry);
    d.set("side_effects", text_or_nothing(fmt::format("{}", fmt::join(t.spec->side_effects, "; "))));
    out.push_back(d);
  }
  return out;
}

data screws_of(const workshop::WorkOrder& o) {
  data out(data::type::list);
  for (const auto& line : table::find_regulation_lines(o)) {
    data d;
    d.set("screw", line.screw);
    d.set("target", line.target);
    d.set("move", line.move);
    out.push_back(d);
  }
  return out;
}

data expected_of(const workshop::WorkOrder& o) {
  data out(data::type::list);
  for (const auto& e : o.expected) {
    data d;
    d.set("note", e.note);
    d.set("name", e.name + ", " + e.unit);
    d.set("before", std::isfinite(e.before)
                        ? table::fixed(e.before, e.decimals) + (e.as_found ? " (as found)" : "")
                        : std::string());
    d.set("predicted", table::fixed(e.predicted, e.decimals) + " \u00b1 " + table::fixed(e.band, e.decimals));
    d.set("low", table::fixed(e.low, e.decimals));
    d.set("high", table::fixed(e.high, e.decimals));
    out.push_back(d);
  }
  return out;
}

}  // namespace

std::string write_order_page(const case_file::CaseDescription& d, const workshop::WorkOrder& o,
                             const std::string& paper) {
  data p;
  Steps steps;
  p.set("title", "Work order: " + o.set_up);
  p.set("paper", paper);
  p.set("set_up", o.set_up);
  p.set("base", o.base);
  p.set("policy", o.policy);
  const bool ends =
      !o.title.empty() && (o.title.back() == '?' || o.title.back() == '.' || o.title.back() == '!');
  p.set("case_title", o.title + (ends ? "" : "."));
  p.set("note", o.note);
  p.set("instrument", text_or_nothing(o.instrument));
  p.set("invented", flag(o.invented));
  p.set("what", o.what);
  p.set("why", printed(o.why));
  data judged(data::type::list);
  for (const auto& text : o.cautions) {
    data c;
    c.set("text", printed(text));
    judged.push_back(c);
  }
  p.set("judged", std::move(judged));
  std::string never;
  for (const auto& t : o.tasks)
    if (t.irreversible()) never += (never.empty() ? "" : "; ") + t.kind;
  p.set("irreversible", text_or_nothing(never));
  p.set("labour",
        "Labour, regulation not counted: " + case_file::labour_words(study::labour_of(d.set_ups.back())) +
            " (a rough class from common practice; not a quotation).");
  data figures(data::type::list);
  for (const Picture& picture : draw_order(d, o)) {
    data f;
    f.set("data", "data:image/svg+xml;base64," + scene::encode_base64(picture.svg));
    f.set("alt", picture.alt);
    f.set("caption", picture.caption);
    figures.push_back(f);
  }
  p.set("figures", std::move(figures));
  p.set("before", steps.list(table::steps_before(o)));
  p.set("tasks", tasks_of(o, steps));
  p.set("tolerance_words", "To within: the shift that moves " + table::allowed_words(o) +
                               ", everything regulated afresh; in brackets which of them.");
  p.set("screws", screws_of(o));
  p.set("after", steps.list(table::steps_after(d, o)));
  p.set(
      "expected_words",
      o.with_before
          ? "The readings before the work are taken into account: errors both share cancel. Stop below, stop "
            "above: the band with the reading's own usual error."
          : "No reading before the work was known, so the bands are wide: give the sample notes with --notes "
            "and they narrow. Stop below, stop above: the band with the reading's own usual error.");
  p.set("expected", expected_of(o));
  p.set("stop", list_of(table::stop_rules(o)));
  data cautions(data::type::list);
  for (const auto& caution : table::order_cautions(d, o)) {
    data c;
    c.set("about", caution.about);
    c.set("text", caution.text);
    cautions.push_back(c);
  }
  p.set("cautions", std::move(cautions));
  p.set("version", base::kVersion);
  p.set("case_path", d.path);
  kainjow::mustache::mustache tmpl(kOrderTemplate);
  const std::string html = tmpl.render(p);
  if (!tmpl.is_valid()) throw base::UserError("the work order could not be filled: " + tmpl.error_message());
  return html;
}

}  // namespace leverwright::sheets

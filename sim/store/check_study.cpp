#include "sim/store/check_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <new>
#include <set>

#include "sim/store/findings.h"
#include "sim/store/layout.h"
#include "sim/store/open_study.h"

namespace leverwright::store {
namespace {

constexpr int kDeepest = 12;  // groups within groups

std::string text_or_nothing(hid_t file, const std::string& path, const char* name) {
  return get_text_attribute(file, path, name).value_or("");
}

// "2025-01-31T12:00:00Z"
bool is_utc_time(const std::string& text) {
  static const std::string kForm = "dddd-dd-ddTdd:dd:ddZ";
  if (text.size() != kForm.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (kForm[i] == 'd' ? text[i] < '0' || text[i] > '9' : text[i] != kForm[i]) return false;
  return true;
}

class Checker {
 public:
  Checker(hid_t file, Findings& out) : file_(file), out_(out) {}

  void check_all() {
    guarded("/", [&] { check_root(); });
    guarded(std::string(kFiles), [&] { check_files(); });
    walk("/", 0);
    guarded(std::string(kSetUps), [&] { check_set_ups(); });
  }

 private:
  // Damage in one place must not hide the faults of the others.
  template <typename Step>
  void guarded(const std::string& where, Step step) {
    try {
      step();
    } catch (const H5Failure& failure) {
      out_.add(where, fmt::format("damaged ({})", failure.what()));
    } catch (const std::bad_alloc&) {
      out_.add(where, "damaged (claims more than the memory holds)");
    }
  }

  void check_root() {
    for (const char* name : {"software_version", "created", "status"})
      if (text_or_nothing(file_, "/", name).empty())
        out_.add("", fmt::format("the root attribute {} is missing or empty", name), "a text");
    const std::string created = text_or_nothing(file_, "/", "created");
    if (!created.empty() && !is_utc_time(created))
      out_.add("", fmt::format("created \"{}\" is no time in UTC", created), "the form 2025-01-31T12:00:00Z");
    status_ = text_or_nothing(file_, "/", "status");
    if (status_ == kRunning)
      out_.add("", "the study was cut off while it ran (status running); what it holds can be read",
               "status complete or stopped");
    else if (!status_.empty() && status_ != kComplete && status_ != kStopped)
      out_.add("", fmt::format("the status \"{}\" is not known", status_), "running, complete or stopped");
    if (status_ == kStopped && text_or_nothing(file_, "/", "reason").empty())
      out_.add("", "the study was stopped but gives no reason", "the root attribute reason");
    const std::string text(kCaseText);
    if (kind_of(file_, text) != Kind::kTexts)
      out_.add(text, "the case text is missing", "the case file, word for word");
    else if (const auto texts = get_strings(file_, text); texts.size() != 1 || texts.front().empty())
      out_.add(text, "the case text is empty", "the case file, word for word");
  }

  void check_files() {
    const std::string root(kFiles);
    if (kind_of(file_, root) == Kind::kNone) return;
    for (const Child& child : list_children(file_, root)) {
      const std::string at = join_path(root, child.name);
      if (child.kind != Kind::kGroup || text_or_nothing(file_, at, "path").empty() ||
          kind_of(file_, join_path(at, "text")) != Kind::kTexts)
        out_.add(at, "a part or material file without its path or text",
                 "the attribute path and a dataset text");
    }
  }

  // Every dataset, wherever it stands.
  void walk(const std::string& group, int depth) {
    if (depth > kDeepest) {
      out_.add(group, "groups are nested too deep", fmt::format("at most {} levels", kDeepest));
      return;
    }
    std::vector<Child> children;
    guarded(group, [&] { children = list_children(file_, group); });
    bool table = false;
    guarded(group, [&] { table = get_text_attribute(file_, group, "kind") == "table"; });
    for (const Child& child : children) {
      const std::string at = join_path(group, child.name);
      if (child.is_link_elsewhere) {
        out_.add(at, "a link to another place", "the data itself");
      } else if (child.kind == Kind::kOther || child.kind == Kind::kNone) {
        out_.add(at, "neither a group nor a dataset of numbers or text", "one of these");
      } else if (!seen_.insert(child.address).second) {
        out_.add(at, "a second name of something that stands elsewhere", "each group and dataset once");
      } else if (child.kind == Kind::kGroup) {
        walk(at, depth + 1);
      } else {
        guarded(at, [&] { check_dataset(file_, at, table, out_); });
      }
    }
    if (table) guarded(group, [&] { check_table(file_, group, out_); });
  }

  void check_set_ups() {
    const std::string root(kSetUps);
    if (kind_of(file_, root) != Kind::kGroup) {
      out_.add(root, "the group is missing", "one group for each set-up");
      return;
    }
    const std::vector<Child> children = list_children(file_, root);
    if (children.empty() && status_ == kComplete)
      out_.add(root, "a complete study without a set-up", "at least the base");
    std::map<std::string, std::string> names;
    for (std::size_t i = 0; i < children.size(); ++i) {
      const std::string at = join_path(root, children[i].name);
      // With "00" to "99" the order by name is the order of the set-ups.
      if (children.size() <= 100 && at != set_up_path(static_cast<int>(i)))
        out_.add(at, fmt::format("set-up {} of the file has this name", i), set_up_path(static_cast<int>(i)));
      if (children[i].kind != Kind::kGroup) {
        out_.add(at, "a set-up must be a group", "a group");
        continue;
      }
      std::string name;
      guarded(at, [&] { name = text_or_nothing(file_, at, "name"); });
      if (const auto [first, added] = names.emplace(name, at); !added && !name.empty())
        out_.add(at, fmt::format("has the same name \"{}\" as {}", name, first->second), "names that differ");
      guarded(at, [&] { check_set_up(at); });
    }
  }

  void check_set_up(const std::string& at) {
    if (text_or_nothing(file_, at, "name").empty())
      out_.add(at, "the attribute name is missing or empty", "the set-up's name");
    if (H5Aexists_by_name(file_, at.c_str(), "description", H5P_DEFAULT) <= 0)
      out_.add(at, "the attribute description is missing", "what was changed against the base");
    const std::string status = text_or_nothing(file_, at, "status");
    if (status != kComplete && status != kFailed && status != kStopped && status != kRunning)
      out_.add(at, fmt::format("the status \"{}\" is not known", status),
               "complete, failed, stopped or running");
    if ((status == kFailed || status == kStopped) && text_or_nothing(file_, at, "reason").empty())
      out_.add(at, fmt::format("{}, but without a reason", status), "the attribute reason");
    if (status_ == kComplete && (status == kRunning || status == kStopped))
      out_.add(at, fmt::format("the study is complete, this set-up is {}", status), "complete or failed");
    if (status == kComplete) check_required(at);
    for (const char* way : {"statics/down", "statics/up"}) check_series_group(join_path(at, way), "dip");
    check_series_groups(join_path(at, "slide"), "dip");
    check_series_groups(join_path(at, "strokes"), "time");
    check_series_groups(join_path(at, "repetition"), "rate");
    for (const char* ladder : {"full", "partial"})
      check_shares(join_path(join_path(at, "repetition"), ladder));
    check_misadjustment(join_path(at, "misadjustment"));
    guarded(join_path(at, "scene"), [&] { check_scene(at); });
  }

  void check_required(const std::string& at) {
    const auto need = [&](std::string_view name, bool right, const char* what) {
      if (!right) out_.add(join_path(at, std::string(name)), fmt::format("{} is missing", what), what);
    };
    for (const auto name : kRequiredGroups)
      need(name, kind_of(file_, join_path(at, std::string(name))) == Kind::kGroup, "the group");
    for (const auto name : kRequiredTables)
      need(name, text_or_nothing(file_, join_path(at, std::string(name)), "kind") == "table", "the table");
    for (const auto name : kRequiredDatasets) {
      const Kind kind = kind_of(file_, join_path(at, std::string(name)));
      need(name, kind == Kind::kNumbers || kind == Kind::kTexts, "the dataset");
    }
    for (const auto when : kPositions) {
      const std::string name = "scene/positions/" + std::string(when);
      need(name, kind_of(file_, join_path(at, name)) == Kind::kNumbers, "the dataset");
    }
  }

  void check_series_groups(const std::string& at, const char* over) {
    if (kind_of(file_, at) != Kind::kGroup) return;
    for (const Child& child : list_children(file_, at))
      if (child.kind == Kind::kGroup) check_series_group(join_path(at, child.name), over);
  }

  // Series over one variable: as many rows as it has, and it runs one way.
  void check_series_group(const std::string& at, const std::string& over) {
    guarded(at, [&] {
      if (kind_of(file_, at) != Kind::kGroup || text_or_nothing(file_, at, "kind") == "table") return;
      const std::string base = join_path(at, over);
      if (kind_of(file_, base) != Kind::kNumbers) {
        out_.add(at, fmt::format("the series have no {}", over), fmt::format("a dataset {}", over));
        return;
      }
      const std::vector<double> x = get_doubles(file_, base);
      for (const Child& child : list_children(file_, at)) {
        if (child.kind != Kind::kNumbers && child.kind != Kind::kTexts) continue;
        const std::string path = join_path(at, child.name);
        const hsize_t rows = rows_of(file_, path);
        if (rows != x.size())
          out_.add(path, fmt::format("{} rows, while {} has {}", rows, over, x.size()), "as many rows");
      }
      check_one_way(base, x, over);
      if (x.size() < 2 && at.find("/statics/") != std::string::npos)
        out_.add(base, fmt::format("has {} rows", x.size()), "the whole way of the key, two rows or more");
    });
  }

  // Time may stand still once, before and after an event; dip runs strictly up or strictly down.
  void check_one_way(const std::string& path, const std::vector<double>& x, const std::string& over) {
    const bool is_time = over == "time";
    if (x.size() < 2) return;
    const bool falling = !is_time && x[1] < x[0];
    for (std::size_t i = 1; i < x.size(); ++i) {
      const double step = falling ? x[i - 1] - x[i] : x[i] - x[i - 1];
      if (step > 0 || (is_time && step == 0)) continue;
      if (std::isnan(step)) return;  // reported as not finite already
      out_.add(path, fmt::format("runs backwards or stands still between rows {} and {}", i - 1, i),
               is_time ? "time that never runs back" : over + " that runs one way");
      return;
    }
  }

  // Shares of a ladder of repetition.
  void check_shares(const std::string& at) {
    for (const char* name : {"share_good", "share_sounding", "share_jack_set"}) {
      const std::string path = join_path(at, name);
      guarded(path, [&] {
        if (kind_of(file_, path) != Kind::kNumbers) return;
        for (const double share : get_doubles(file_, path))
          if (share < 0 || share > 1) {
            out_.add(path, fmt::format("holds {}", share), "shares from 0 to 1");
            return;
          }
      });
    }
  }

  // One setting moved in each row but the first, which all changes are told against.
  void check_misadjustment(const std::string& at) {
    guarded(at, [&] {
      if (kind_of(file_, at) == Kind::kNone) return;
      const std::string moved = join_path(at, "moved");
      if (kind_of(file_, moved) != Kind::kNumbers ||
          kind_of(file_, join_path(at, "setting")) != Kind::kTexts) {
        out_.add(at, "does not say what was moved by how much", "columns setting and moved");
        return;
      }
      const std::vector<double> x = get_doubles(file_, moved);
      if (x.empty() || x.front() != 0)
        out_.add(moved, "the first row is not the set-up as regulated", "0 in the first row");
      for (std::size_t i = 1; i < x.size(); ++i)
        if (x[i] == 0)
          out_.add(moved, fmt::format("nothing is moved in row {}", i), "0 in the first row only");
    });
  }

  void check_scene(const std::string& at) {
    const std::string bodies = join_path(at, "scene/bodies");
    std::set<std::string> names;
    if (kind_of(file_, bodies) == Kind::kGroup)
      for (const Child& child : list_children(file_, bodies)) {
        names.insert(child.name);
        const std::string outline = join_path(join_path(bodies, child.name), "outline");
        if (kind_of(file_, outline) != Kind::kNumbers) {
          out_.add(outline, "the outline is missing", "points, [n x 2]");
          continue;
        }
        const Shape shape = shape_of(file_, outline);
        if (shape.dims.size() != 2 || shape.dims[1] != 2 || shape.dims[0] < 2)
          out_.add(outline, "is no line of points", "[n x 2] with two points or more");
      }
    const std::string positions = join_path(at, "scene/positions");
    const std::string order = join_path(positions, "bodies");
    if (kind_of(file_, order) != Kind::kTexts) return;
    const std::vector<std::string> rows = get_strings(file_, order);
    for (const std::string& body : rows)
      if (names.count(body) == 0)
        out_.add(order, fmt::format("names \"{}\", which has no outline", body), "a body below scene/bodies");
    for (const std::string_view when : kPositions) {
      const std::string path = join_path(positions, std::string(when));
      if (kind_of(file_, path) != Kind::kNumbers) continue;
      const Shape shape = shape_of(file_, path);
      if (shape.dims.size() != 2 || shape.dims[0] != rows.size() || shape.dims[1] != 3)
        out_.add(path, "does not place every body",
                 fmt::format("[{} x 3]: x, y and angle of each body", rows.size()));
    }
  }

  hid_t file_;
  Findings& out_;
  std::string status_;
  std::set<std::uint64_t> seen_;
};

}  // namespace

std::vector<base::Problem> check_study(const std::string& path) {
  Handle file;
  try {
    file = open_study(path);
  } catch (const base::UserError& error) {
    return error.problems();
  }
  Findings findings(path);
  try {
    Checker(file.id(), findings).check_all();
  } catch (const H5Failure& failure) {
    findings.add("", fmt::format("damaged ({})", failure.what()));
  }
  return findings.take();
}

}  // namespace leverwright::store

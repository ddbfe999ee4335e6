#include "sim/store/study_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <utility>

#include "sim/base/error.h"
#include "sim/base/shown_text.h"
#include "sim/store/h5_io.h"
#include "sim/store/known_units.h"
#include "sim/store/layout.h"
#include "sim/store/open_study.h"

namespace leverwright::store {
namespace {

std::string below(const std::string& group, const std::string& name) {
  return group == "/" ? "/" + name : group + "/" + name;
}

// A stranger's file must not steer the terminal its names are printed on.
std::vector<std::string> shown(std::vector<std::string> texts) {
  for (std::string& text : texts) text = base::shown_text(text);
  return texts;
}

}  // namespace

struct StudyReader::Inside {
  std::string path;
  Handle file;

  [[noreturn]] void refuse(const std::string& what, const std::string& expected = "") const {
    throw base::UserError({base::Problem{path, 0, "", what, expected, "run the study again"}});
  }
  // HDF5 trouble while reading names the file.
  template <typename Step>
  auto read(Step step) const {
    keep_hdf5_quiet();
    try {
      return step(file.id());
    } catch (const H5Failure& failure) {
      refuse(fmt::format("damaged: {}", failure.what()));
    }
  }
  void need(const std::string& at, Kind kind, const char* what) const {
    const Kind found = read([&](hid_t f) { return kind_of(f, at); });
    if (found == Kind::kNone) refuse(fmt::format("{} is not in this file", at), what);
    if (found != kind) refuse(fmt::format("{} is something else", at), what);
  }
};

StudyReader::StudyReader(const std::string& path) : in_(std::make_unique<Inside>()) {
  in_->path = path;
  in_->file = open_study(path);
}
StudyReader::~StudyReader() = default;
StudyReader::StudyReader(StudyReader&&) noexcept = default;
StudyReader& StudyReader::operator=(StudyReader&&) noexcept = default;

const std::string& StudyReader::path() const { return in_->path; }
std::string StudyReader::status() const { return text_attribute("/", "status"); }
std::string StudyReader::reason() const { return text_attribute("/", "reason"); }

StudyHeader StudyReader::header() const {
  StudyHeader header;
  header.software_version = text_attribute("/", "software_version");
  header.created = text_attribute("/", "created");
  header.case_path = has_attribute("/", "case_path") ? text_attribute("/", "case_path") : "";
  // The files word for word, as they were read.
  const auto verbatim = [&](const std::string& at) {
    in_->need(at, Kind::kTexts, "a dataset of text");
    const auto texts = in_->read([&](hid_t f) { return get_strings(f, at); });
    if (texts.size() != 1) in_->refuse(fmt::format("{} holds {} texts", at, texts.size()), "one");
    return texts.front();
  };
  header.case_text = verbatim(std::string(kCaseText));
  const std::string files(kFiles);
  if (has(files))
    for (const std::string& name : groups(files))
      header.files.push_back(
          {text_attribute(below(files, name), "path"), verbatim(below(below(files, name), "text"))});
  return header;
}

std::vector<SetUpEntry> StudyReader::set_ups() const {
  std::vector<SetUpEntry> out;
  const std::string root(kSetUps);
  for (const std::string& name : groups(root)) {
    SetUpEntry e;
    e.index = std::atoi(name.c_str());
    e.path = below(root, name);
    e.name = text_attribute(e.path, "name");
    e.description = text_attribute(e.path, "description");
    e.status = text_attribute(e.path, "status");
    e.reason = has_attribute(e.path, "reason") ? text_attribute(e.path, "reason") : "";
    out.push_back(e);
  }
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.index < b.index; });
  return out;
}

bool StudyReader::has(const std::string& path) const {
  return in_->read([&](hid_t f) { return kind_of(f, path); }) != Kind::kNone;
}

std::vector<std::string> StudyReader::groups(const std::string& path) const {
  in_->need(path, Kind::kGroup, "a group");
  std::vector<std::string> out;
  for (const Child& c : in_->read([&](hid_t f) { return list_children(f, path); }))
    if (c.kind == Kind::kGroup) out.push_back(c.name);
  return out;
}

std::vector<std::string> StudyReader::datasets(const std::string& path) const {
  in_->need(path, Kind::kGroup, "a group");
  std::vector<std::string> out;
  for (const Child& c : in_->read([&](hid_t f) { return list_children(f, path); }))
    if (c.kind == Kind::kNumbers || c.kind == Kind::kTexts) out.push_back(c.name);
  return out;
}

bool StudyReader::is_table(const std::string& path) const {
  return in_->read([&](hid_t f) {
    return kind_of(f, path) == Kind::kGroup && get_text_attribute(f, path, "kind") == "table";
  });
}

Meta StudyReader::read_meta(const std::string& path) const {
  Meta meta;
  meta.unit = text_attribute(path, "unit");
  meta.display_unit = text_attribute(path, "display_unit");
  meta.display_factor = number_attribute(path, "display_factor");
  meta.frame = text_attribute(path, "frame");
  meta.description = text_attribute(path, "description");
  meta.may_be_unknown =
      has_attribute(path, "may_be_unknown") && number_attribute(path, "may_be_unknown") != 0;
  return meta;
}

Series StudyReader::read_series(const std::string& path) const {
  in_->need(path, Kind::kNumbers, "a dataset of numbers");
  Series s;
  const Shape shape = in_->read([&](hid_t f) { return shape_of(f, path); });
  if (shape.dims.empty() || shape.dims.size() > 2)
    in_->refuse(fmt::format("{} has {} dimensions", path, shape.dims.size()), "one or two");
  s.is_matrix = shape.dims.size() == 2;
  s.rows = shape.dims[0];
  s.columns = s.is_matrix ? shape.dims[1] : 1;
  s.meta = read_meta(path);
  s.values = in_->read([&](hid_t f) { return get_doubles(f, path); });
  if (has_attribute(path, "column_names")) s.names.names = texts_attribute(path, "column_names");
  if (has_attribute(path, "column_units")) {
    s.names.units = texts_attribute(path, "column_units");
    s.names.display_units = texts_attribute(path, "column_display_units");
    if (s.names.units.size() != s.columns || s.names.display_units.size() != s.columns)
      in_->refuse(
          fmt::format("{} has {} columns and {} column units", path, s.columns, s.names.units.size()));
  }
  return s;
}

std::vector<std::string> StudyReader::read_strings(const std::string& path) const {
  in_->need(path, Kind::kTexts, "a dataset of text");
  return shown(in_->read([&](hid_t f) { return get_strings(f, path); }));
}

std::string StudyReader::read_text(const std::string& path) const {
  const std::vector<std::string> texts = read_strings(path);
  if (texts.size() != 1) in_->refuse(fmt::format("{} holds {} texts", path, texts.size()), "one");
  return texts.front();
}

Table StudyReader::read_table(const std::string& path) const {
  in_->need(path, Kind::kGroup, "a table");
  if (!is_table(path)) in_->refuse(fmt::format("{} is no table", path), "a group with kind = \"table\"");
  Table table;
  table.description = text_attribute(path, "description");
  std::vector<std::string> order =
      has_attribute(path, "column_order") ? texts_attribute(path, "column_order") : datasets(path);
  for (const std::string& name : order) {
    Column column;
    const std::string at = below(path, name);
    column.name = name;
    column.meta = read_meta(at);
    if (column.is_text())
      column.texts = read_strings(at);
    else
      column.numbers = read_series(at).values;
    table.columns.push_back(std::move(column));
  }
  for (const Column& c : table.columns)
    if (c.size() != table.rows())
      in_->refuse(
          fmt::format("{}: column {} has {} rows, the first {}", path, c.name, c.size(), table.rows()));
  return table;
}

std::vector<Number> StudyReader::read_numbers(const std::string& path) const {
  const Table table = read_table(path);
  const auto texts = [&](const char* name) -> const std::vector<std::string>& {
    const Column* c = table.find(name);
    if (c == nullptr || !c->is_text()) in_->refuse(fmt::format("{} has no text column {}", path, name));
    return c->texts;
  };
  const auto numbers = [&](const char* name) -> const std::vector<double>& {
    const Column* c = table.find(name);
    if (c == nullptr || c->is_text()) in_->refuse(fmt::format("{} has no number column {}", path, name));
    return c->numbers;
  };
  std::vector<Number> out(table.rows());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = Number{texts("name")[i],
                    numbers("value")[i],
                    texts("unit")[i],
                    texts("display_unit")[i],
                    numbers("sigma")[i],
                    numbers("change_against_base")[i],
                    numbers("sigma_of_change")[i],
                    texts("verdict")[i],
                    texts("description")[i]};
  return out;
}

Number StudyReader::read_number(const std::string& path, const std::string& name) const {
  std::string names;
  for (const Number& n : read_numbers(path)) {
    if (n.name == name) return n;
    names += (names.empty() ? "" : ", ") + n.name;
  }
  in_->refuse(fmt::format("{} has no row \"{}\"", path, name), "one of: " + names);
}

bool StudyReader::has_attribute(const std::string& path, const std::string& name) const {
  return in_->read(
      [&](hid_t f) { return H5Aexists_by_name(f, path.c_str(), name.c_str(), H5P_DEFAULT) > 0; });
}

std::string StudyReader::text_attribute(const std::string& path, const std::string& name) const {
  const auto value = in_->read([&](hid_t f) { return get_text_attribute(f, path, name); });
  if (!value) in_->refuse(fmt::format("{} lacks its attribute {}", path, name), "a text");
  return base::shown_text(*value);
}

double StudyReader::number_attribute(const std::string& path, const std::string& name) const {
  const auto value = in_->read([&](hid_t f) { return get_number_attribute(f, path, name); });
  if (!value) in_->refuse(fmt::format("{} lacks its attribute {}", path, name), "a number");
  return *value;
}

std::vector<std::string> StudyReader::texts_attribute(const std::string& path,
                                                      const std::string& name) const {
  const auto value = in_->read([&](hid_t f) { return get_texts_attribute(f, path, name); });
  if (!value) in_->refuse(fmt::format("{} lacks its attribute {}", path, name), "a list of texts");
  return shown(*value);
}

}  // namespace leverwright::store

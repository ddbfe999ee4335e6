#include "sim/store/study_writer.h"

#include <fcntl.h>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <stdexcept>
#include <utility>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/part_lock.h"
#include "sim/store/checksum.h"
#include "sim/store/h5_io.h"
#include "sim/store/known_units.h"
#include "sim/store/layout.h"
#include "sim/store/trial_read.h"

namespace leverwright::store {
namespace {

using base::UserError;

// Compression costs ten times the writing time and saves a fifth: only where a fifth is worth having.
constexpr std::size_t kCompressFrom = 1u << 16;    // values
constexpr std::size_t kValuesPerChunk = 1u << 13;  // 64 KiB

// A clock that is off by ages, or a SOURCE_DATE_EPOCH that is no time, is no reason to lose a study: the year keeps
// the four digits the standard asks for.
std::string time_now() {
  constexpr std::time_t kLastSecond = 253402300799;  // of the year 9999
  std::time_t now = std::time(nullptr);
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH"); epoch != nullptr && *epoch != '\0')
    now = static_cast<std::time_t>(std::strtoll(epoch, nullptr, 10));
  now = std::clamp<std::time_t>(now, 0, kLastSecond);
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now));
}

// The number of the system's error that HDF5's long text holds; 0 for none.
int system_error_in(const std::string& text) {
  const std::string mark = "errno = ";
  const auto at = text.find(mark);
  return at == std::string::npos ? 0 : std::atoi(text.c_str() + at + mark.size());
}

void need_name(const std::string& name) {
  if (name.empty() || name == "." || name == ".." || name.find('/') != std::string::npos)
    throw std::logic_error(fmt::format("\"{}\" cannot be the name of a dataset", name));
}

void need_path(const std::string& path) {
  if (path.empty() || path.front() != '/' || (path.size() > 1 && path.back() == '/') ||
      path.find("//") != std::string::npos)
    throw std::logic_error(fmt::format("\"{}\" is not a group's path from the root", path));
}

void need_meta(const std::string& name, const Meta& meta) {
  const double factor = display_factor(meta.unit, meta.display_unit);
  if (!is_stored_unit(meta.unit) || factor == 0)
    throw std::logic_error(
        fmt::format("\"{}\": stored in \"{}\", shown in \"{}\"", name, meta.unit, meta.display_unit));
  if (std::abs(factor - meta.display_factor) > 1e-12 * factor)
    throw std::logic_error(fmt::format("\"{}\": factor {} from {} to {}", name, meta.display_factor,
                                       meta.unit, meta.display_unit));
  if (meta.frame.empty() || meta.description.empty())
    throw std::logic_error(fmt::format("\"{}\" lacks its frame or description", name));
}

void need_columns(const std::string& name, const Meta& meta, std::size_t columns, const Columns& names) {
  const bool differ = meta.unit == "per column";
  if ((!names.names.empty() || differ) && names.names.size() != columns)
    throw std::logic_error(fmt::format("\"{}\": {} columns, {} names", name, columns, names.names.size()));
  const std::size_t units = differ ? columns : 0;
  if (names.units.size() != units || names.display_units.size() != units)
    throw std::logic_error(fmt::format("\"{}\": {} columns, {} and {} units", name, columns,
                                       names.units.size(), names.display_units.size()));
  for (std::size_t i = 0; i < units; ++i)
    if (!is_stored_unit(names.units[i]) || display_factor(names.units[i], names.display_units[i]) == 0)
      throw std::logic_error(fmt::format("\"{}\": column {} stored in \"{}\", shown in \"{}\"", name, i,
                                         names.units[i], names.display_units[i]));
}

void put_meta(const Handle& dataset, const Meta& meta) {
  put_attribute(dataset.id(), "unit", meta.unit);
  put_attribute(dataset.id(), "display_unit", meta.display_unit);
  put_attribute(dataset.id(), "display_factor", meta.display_factor);
  put_attribute(dataset.id(), "frame", meta.frame);
  put_attribute(dataset.id(), "description", meta.description);
  if (meta.may_be_unknown) put_attribute(dataset.id(), "may_be_unknown", std::int64_t{1});
}

void put_columns(const Handle& dataset, const Columns& names) {
  if (!names.names.empty()) put_attribute(dataset.id(), "column_names", names.names);
  if (names.units.empty()) return;
  put_attribute(dataset.id(), "column_units", names.units);
  put_attribute(dataset.id(), "column_display_units", names.display_units);
}

hsize_t chunk_rows(std::size_t values, std::size_t columns) {
  if (values < kCompressFrom) return 0;
  return std::max<hsize_t>(1, kValuesPerChunk / std::max<std::size_t>(1, columns));
}

// A power cut after the rename must not leave an empty file under the final name, nor a full disk that tells
// only now. 0, or the reason.
int sync_to_disk(const std::string& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return errno;
  const int reason = ::fsync(file) == 0 || errno == EINVAL || errno == ENOSYS ? 0 : errno;
  ::close(file);
  return reason;
}

// A whole results file of this program may be replaced by the next run's.
void check_place(const std::string& path) {
  base::check_output(path, check_checksum(path) == Checksum::kAgrees && H5Fis_hdf5(path.c_str()) > 0);
}

}  // namespace

std::string set_up_path(int index) { return fmt::format("{}/{:02d}", kSetUps, index); }

struct StudyWriter::Inside {
  std::string path, part_path;
  base::PartLock lock;
  Handle file;
  std::string open_set_up;  // empty between set-ups
  int begun = 0, ended = 0;

  // Runs one writing step; HDF5 trouble becomes something a person can act on.
  template <typename Step>
  void write(Step step) {
    if (!file) throw std::logic_error("the study \"" + path + "\" is closed already");
    keep_hdf5_quiet();
    try {
      step();
    } catch (const H5Failure& failure) {
      give_up(system_error_in(failure.what()));
    }
  }
  // Nothing more can be written. HDF5 keeps what it could not write and falls over it when it closes the
  // file, so the file is left open and its name taken away.
  [[noreturn]] void give_up(int reason) {
    file.abandon();
    remove_part();
    throw UserError(fmt::format("{} could not be written ({})", path,
                                reason != 0 ? std::strerror(reason) : "the file system took no more"),
                    "see that the disk is not full and the folder still there, then run again");
  }
  void flush_now() { require(H5Fflush(file.id(), H5F_SCOPE_GLOBAL), "flush"); }
  void put_status(const std::string& group, std::string_view status, const std::string& reason) {
    const Handle opened = make_group(file.id(), group);
    put_attribute(opened.id(), "status", std::string(status));
    put_attribute(opened.id(), "reason", reason);
  }
  void end_set_up(std::string_view status, const std::string& reason) {
    if (open_set_up.empty()) throw std::logic_error("no set-up is open");
    write([&] {
      put_status(open_set_up, status, reason);
      flush_now();
    });
    open_set_up.clear();
    ++ended;
  }
  void close_and_rename() {
    write([&] { flush_now(); });
    errno = 0;
    if (file.reset() < 0 || !append_checksum(part_path)) give_up(errno);
    if (const int reason = sync_to_disk(part_path); reason != 0) give_up(reason);
    try {
      check_place(path);  // somebody may have put a file there meanwhile
    } catch (const UserError& error) {
      std::vector<base::Problem> problems = error.problems();
      problems.front().advice = fmt::format("the results are whole in {}: rename it by hand", part_path);
      throw UserError(problems);
    }
    base::note_output(path);
    std::error_code error;
    std::filesystem::rename(part_path, path, error);
    if (error)
      throw UserError(fmt::format("{} could not be renamed to {} ({})", part_path, path, error.message()),
                      "the results are whole in the first file: rename it by hand");
    trust(path);
    lock.release();
  }
  void remove_part() {
    std::error_code ignored;
    file.reset();
    std::filesystem::remove(part_path, ignored);
    lock.release();
  }
  void add(const std::string& group, const std::string& name, const Meta& meta,
           const std::vector<hsize_t>& dims, Values values, const Columns& names) {
    need_path(group);
    need_name(name);
    need_meta(name, meta);
    write([&] {
      const Handle in = make_group(file.id(), group);
      const std::size_t columns = dims.size() > 1 ? static_cast<std::size_t>(dims[1]) : 1;
      const Handle dataset =
          put_doubles(in.id(), name, dims, values.data(), chunk_rows(values.size(), columns));
      put_meta(dataset, meta);
      put_columns(dataset, names);
    });
  }
};

StudyWriter::StudyWriter(std::string path, const StudyHeader& header) : in_(std::make_unique<Inside>()) {
  in_->path = base::followed(path);
  in_->part_path = in_->path + ".part";
  keep_hdf5_quiet();
  const std::filesystem::path folder = std::filesystem::path(in_->path).parent_path();
  std::error_code error;
  if (!folder.empty()) std::filesystem::create_directories(folder, error);
  if (error)
    throw UserError(fmt::format("the folder {} cannot be made ({})", folder.string(), error.message()),
                    "name another folder for the results");
  check_place(in_->path);
  in_->lock = base::PartLock(in_->part_path);
  const Handle access = own_properties(H5Pcreate(H5P_FILE_ACCESS));
  H5Pset_file_locking(access.id(), false, true);  // the lock above is the one; HDF5's would come too late
  errno = 0;
  in_->file = own_file(H5Fcreate(in_->part_path.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, access.id()));
  if (!in_->file) {
    const std::string why = errno != 0 ? std::strerror(errno) : hdf5_reason();
    in_->remove_part();
    throw UserError(fmt::format("{} cannot be written ({})", in_->part_path, why),
                    "name a folder you may write to");
  }
  in_->write([&] {
    const Handle root = own_group(H5Gopen2(in_->file.id(), "/", H5P_DEFAULT));
    require(root, "root");
    put_attribute(root.id(), "format", std::string(kFormat));
    put_attribute(root.id(), "format_version", std::int64_t{kFormatVersion});
    put_attribute(root.id(), "software_version", header.software_version);
    put_attribute(root.id(), "created", header.created.empty() ? time_now() : header.created);
    put_attribute(root.id(), "case_path", header.case_path);
    in_->put_status("/", kRunning, "");
    make_group(in_->file.id(), std::string(kSetUps));
  });
  write_text("/", "case_text", header.case_text, "the case file, word for word");
  for (std::size_t i = 0; i < header.files.size(); ++i) {
    const std::string group = fmt::format("{}/{:02d}", kFiles, i);
    write_text(group, "text", header.files[i].text, "a file the case drew on, word for word");
    write_attribute(group, "path", header.files[i].path);
  }
  flush();
}

StudyWriter::~StudyWriter() {
  try {
    if (is_open()) stop("ended without being finished");
  } catch (const std::exception&) {
    in_->file.reset();  // a .part that could not be completed stays: it is named as unfinished
  }
}

std::string StudyWriter::begin_set_up(const std::string& name, const std::string& description) {
  if (!in_->open_set_up.empty()) throw std::logic_error(in_->open_set_up + " is still open");
  const std::string group = set_up_path(in_->begun);
  in_->write([&] {
    in_->put_status(group, kRunning, "");
    const Handle opened = make_group(in_->file.id(), group);
    put_attribute(opened.id(), "name", name);
    put_attribute(opened.id(), "description", description);
  });
  in_->open_set_up = group;
  ++in_->begun;
  return group;
}

void StudyWriter::finish_set_up() { in_->end_set_up(kComplete, ""); }
void StudyWriter::fail_set_up(const std::string& reason) { in_->end_set_up(kFailed, reason); }

void StudyWriter::write_attribute(const std::string& group, const std::string& name,
                                  const std::string& value) {
  need_path(group);
  in_->write([&] { put_attribute(make_group(in_->file.id(), group).id(), name, value); });
}
void StudyWriter::write_attribute(const std::string& group, const std::string& name, double value) {
  need_path(group);
  in_->write([&] { put_attribute(make_group(in_->file.id(), group).id(), name, value); });
}
void StudyWriter::write_attribute(const std::string& group, const std::string& name, std::int64_t value) {
  need_path(group);
  in_->write([&] { put_attribute(make_group(in_->file.id(), group).id(), name, value); });
}
void StudyWriter::write_attribute(const std::string& group, const std::string& name,
                                  const std::vector<std::string>& values) {
  need_path(group);
  in_->write([&] { put_attribute(make_group(in_->file.id(), group).id(), name, values); });
}

void StudyWriter::write_series(const std::string& group, const std::string& name, Values values,
                               const Meta& meta) {
  if (meta.unit == "per column") throw std::logic_error("\"" + name + "\" has no columns");
  in_->add(group, name, meta, {values.size()}, values, {});
}

void StudyWriter::write_series(const std::string& group, const std::string& name, Values values,
                               std::size_t columns, const Meta& meta, const Columns& names) {
  if (columns == 0 || values.size() % columns != 0)
    throw std::logic_error(
        fmt::format("\"{}\": {} values do not fill rows of {}", name, values.size(), columns));
  need_columns(name, meta, columns, names);
  in_->add(group, name, meta, {values.size() / columns, columns}, values, names);
}

void StudyWriter::write_strings(const std::string& group, const std::string& name,
                                const std::vector<std::string>& texts, const std::string& description) {
  const Meta meta = make_meta("text", "text", "none", description);
  need_path(group);
  need_name(name);
  need_meta(name, meta);
  in_->write([&] { put_meta(put_strings(make_group(in_->file.id(), group).id(), name, texts), meta); });
}

void StudyWriter::write_text(const std::string& group, const std::string& name, const std::string& text,
                             const std::string& description) {
  const Meta meta = make_meta("text", "text", "none", description);
  need_path(group);
  need_name(name);
  need_meta(name, meta);
  in_->write([&] { put_meta(put_text(make_group(in_->file.id(), group).id(), name, text), meta); });
}

void StudyWriter::write_table(const std::string& group, const std::string& name, const Table& table) {
  need_path(group);
  need_name(name);
  for (const Column& column : table.columns)
    if (column.size() != table.rows())
      throw std::logic_error(fmt::format("table \"{}\": column \"{}\" has {} rows, the first {}", name,
                                         column.name, column.size(), table.rows()));
  const std::string at = group == "/" ? "/" + name : group + "/" + name;
  write_attribute(at, "kind", "table");
  write_attribute(at, "description", table.description);
  std::vector<std::string> order;
  for (const Column& column : table.columns) {
    order.push_back(column.name);
    if (column.is_text())
      write_strings(at, column.name, column.texts, column.meta.description);
    else
      write_series(at, column.name, column.numbers, column.meta);
  }
  write_attribute(at, "column_order", order);
}

void StudyWriter::write_numbers(const std::string& group, const std::string& name,
                                const std::vector<Number>& numbers, const std::string& description,
                                const std::vector<Column>& more) {
  std::vector<std::string> names, units, display_units, verdicts, descriptions;
  std::vector<double> values, factors, sigmas, changes, sigmas_of_change;
  for (const Number& n : numbers) {
    const double factor = n.display_factor();
    if (!is_stored_unit(n.unit) || factor == 0)
      throw std::logic_error(
          fmt::format("\"{}\": stored in \"{}\", shown in \"{}\"", n.name, n.unit, n.display_unit));
    names.push_back(n.name);
    values.push_back(n.value);
    units.push_back(n.unit);
    display_units.push_back(n.display_unit);
    factors.push_back(factor);
    sigmas.push_back(n.sigma);
    changes.push_back(n.change_against_base);
    sigmas_of_change.push_back(n.sigma_of_change);
    verdicts.push_back(n.verdict);
    descriptions.push_back(n.description);
  }
  const auto per_row = [](const char* text) {
    return make_meta_unknown_allowed("per row", "per row", "none", text);
  };
  Meta value_meta = per_row("stored value, in this row's unit");
  value_meta.may_be_unknown = false;
  Table table;
  table.description = description;
  table.columns = {
      text_column("name", "trade word of the row", names),
      number_column("value", value_meta, values),
      text_column("unit", "SI unit of value, sigma, change_against_base and sigma_of_change", units),
      text_column("display_unit", "unit a person reads this row in", display_units),
      number_column("display_factor", make_meta("1", "1", "none", "displayed = stored * display_factor"),
                    factors),
      number_column("sigma", per_row("one standard deviation of value"), sigmas),
      number_column("change_against_base", per_row("value less the base set-up's value"), changes),
      number_column("sigma_of_change", per_row("one standard deviation of the change"), sigmas_of_change),
      text_column("verdict", "better, worse, changed but no nearer, cannot be told apart, or empty",
                  verdicts),
      text_column("description", "what the row means", descriptions)};
  table.columns.insert(table.columns.end(), more.begin(), more.end());
  write_table(group, name, table);
}

void StudyWriter::flush() {
  in_->write([&] { in_->flush_now(); });
}

void StudyWriter::finish() {
  if (!in_->open_set_up.empty()) throw std::logic_error(in_->open_set_up + " is still open");
  in_->write([&] { in_->put_status("/", kComplete, ""); });
  in_->close_and_rename();
}

bool StudyWriter::stop(const std::string& reason) {
  if (in_->ended == 0) {
    discard();
    return false;
  }
  in_->write([&] {
    if (!in_->open_set_up.empty()) in_->put_status(in_->open_set_up, kStopped, reason);
    in_->put_status("/", kStopped, reason);
  });
  in_->close_and_rename();
  return true;
}

void StudyWriter::discard() { in_->remove_part(); }

bool StudyWriter::is_open() const { return static_cast<bool>(in_->file); }
const std::string& StudyWriter::path() const { return in_->path; }
const std::string& StudyWriter::part_path() const { return in_->part_path; }
int StudyWriter::ended_set_ups() const { return in_->ended; }

}  // namespace leverwright::store

#include "viz/table/jobs_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/shown_text.h"
#include "viz/table/numbers.h"

namespace leverwright::table {

using workshop::HitRate;
using workshop::Job;
using workshop::JobReading;

namespace {

namespace fs = std::filesystem;

constexpr const char* kFormat = "leverwright afterwards";
constexpr std::uintmax_t kLargest = 4u << 20;
constexpr std::size_t kFewest = 3;  // jobs, before anything is said of the bands

using Read = nlohmann::json;

// A number or nothing; anything else is a fault of the file.
double number_of(const Read& j, const char* key) {
  const double x = j.at(key).get<double>();
  if (!std::isfinite(x)) throw base::UserError("a number there is not finite");
  return x;
}

std::string words_of(const Read& j, const char* key) {
  return base::shown_line(j.value(key, std::string()), 200);
}

Job read_job(const fs::path& path) {
  if (fs::file_size(path) > kLargest) throw base::UserError("too large for the record of a job");
  std::ifstream in(path, std::ios::binary);
  const Read j = Read::parse(in);
  if (!j.is_object() || j.value("format", std::string()) != kFormat)
    throw base::UserError("not written by leverwright afterwards --json");
  if (j.at("format_version").get<int>() > 1) throw base::UserError("written by a newer leverwright");
  Job job;
  job.file = path.string();
  job.case_path = words_of(j, "case");
  job.version = words_of(j, "software_version");
  for (const Read& r : j.at("readings")) {
    JobReading one;
    one.note = words_of(r, "note");
    one.set_up = words_of(r, "set_up");
    one.reading = words_of(r, "reading");
    one.unit = words_of(r, "unit");
    one.predicted = number_of(r, "predicted");
    one.predicted_sigma = number_of(r, "predicted_sigma");
    one.measured = number_of(r, "measured");
    one.measured_sigma = number_of(r, "measured_sigma");
    one.date = words_of(r, "date");
    if (r.contains("humidity_percent") && r.at("humidity_percent").is_number())
      one.humidity = r.at("humidity_percent").get<double>();
    job.readings.push_back(one);
  }
  base::note_input(path.string());
  return job;
}

std::string rate_words(const HitRate& r) {
  return fmt::format("{} of {} ({:.0f} %; with 95 % confidence {:.0f} to {:.0f} %)", r.hits, r.of,
                     r.of > 0 ? 100.0 * r.hits / r.of : 0.0, 100 * r.low, 100 * r.high);
}

// "2026-11-02", "2026-11-02 to 2026-11-05"; "" when none is said.
std::string dates_of(const Job& job) {
  std::set<std::string> all;
  for (const auto& r : job.readings)
    if (!r.date.empty()) all.insert(r.date);
  if (all.empty()) return "";
  return all.size() == 1 ? *all.begin() : *all.begin() + " to " + *all.rbegin();
}

std::string humidity_of(const Job& job) {
  double low = 1e9, high = -1;
  for (const auto& r : job.readings)
    if (r.humidity >= 0) low = std::min(low, r.humidity), high = std::max(high, r.humidity);
  if (high < 0) return "";
  return low == high ? fmt::format("{:g}", low) : fmt::format("{:g} to {:g}", low, high);
}

void add_answer(const JobRecords& records, const HitRate& all,
                const std::vector<workshop::ReadingRate>& by_reading, Document& out) {
  out.note(fmt::format("{} {}, {} readings after the work. Inside the 95 % band: {}.", records.jobs.size(),
                       records.jobs.size() == 1 ? "job" : "jobs", all.of, rate_words(all)));
  if (all.of == 0) return;
  if (records.jobs.size() < kFewest) {
    out.note("So few jobs say little: a fault of one shows in all its readings.");
    return;
  }
  if (all.low > 0.95)
    out.note("The bands are wider than they need be.");
  else if (all.high < 0.95)
    out.note(
        "The bands are too narrow for this shop: doubt a prediction more than it doubts itself, and look below for the "
        "reading that misses one way.");
  else
    out.note("That agrees with 95 of 100.");
  for (const auto& r : by_reading) {
    const double n = r.rate.of, scatter = std::sqrt(std::max(0.0, r.rms * r.rms - r.mean * r.mean) / (n - 1));
    if (n >= 6 && std::abs(r.mean) > 3 * scatter)
      out.note(fmt::format(
          "{}: on average {:+.2f} {} off the prediction, more than chance: look how it is measured, "
          "or calibrate.",
          r.reading, r.mean, r.unit));
  }
}

}  // namespace

JobRecords read_jobs(const std::string& folder) {
  std::error_code error;
  if (!fs::is_directory(folder, error))
    throw base::UserError(
        {base::Problem{folder, 0, "", "there is no such folder", "a folder with the records of jobs",
                       "leverwright afterwards CASE NOTES.csv --json FOLDER/job.json writes one"}});
  std::vector<fs::path> paths;
  for (fs::recursive_directory_iterator at(folder, fs::directory_options::skip_permission_denied, error), end;
       !error && at != end; at.increment(error))
    if (at->is_regular_file(error) && at->path().extension() == ".json") paths.push_back(at->path());
  std::sort(paths.begin(), paths.end());
  JobRecords out;
  for (const fs::path& path : paths) {
    try {
      out.jobs.push_back(read_job(path));
    } catch (const base::UserError& fault) {
      out.left_out.push_back(path.string() + ": " + fault.problems().front().what);
    } catch (const std::exception&) {
      out.left_out.push_back(path.string() + ": no whole record of a job");
    }
  }
  if (out.jobs.empty())
    throw base::UserError(
        {base::Problem{folder, 0, "", "no record of a job is in this folder", "",
                       "leverwright afterwards CASE NOTES.csv --json FOLDER/job.json writes one"}});
  return out;
}

Document jobs_document(const JobRecords& records) {
  Document out("jobs", 1);
  out.heading("Predicted and found");
  const HitRate all = workshop::count_all(records.jobs);
  const auto by_reading = workshop::count_by_reading(records.jobs);
  add_answer(records, all, by_reading, out);
  out.set("jobs", records.jobs.size());
  out.set("readings", all.of);
  out.set("inside", all.hits);
  out.set("rate_low", all.low);
  out.set("rate_high", all.high);
  out.heading("By reading");
  Table& by = out.table("by_reading");
  by.indent = "  ";
  by.columns = {{"reading", "", "reading", "", 0},
                {"unit", "", "unit", "", 0},
                {"inside", "", "inside", "", 8, 0},
                {"of", "", "of", "", 5, 0},
                {"rate_low", "", "95 % from", "", 10, 2},
                {"rate_high", "", "to", "", 6, 2},
                {"mean_off", "", "mean off", "", 10, 2, true},
                {"rms_off", "", "rms off", "", 9, 2}};
  for (const auto& r : by_reading)
    by.add({r.reading, r.unit, r.rate.hits, r.rate.of, r.rate.low, r.rate.high, r.mean, r.rms});
  const bool many = records.jobs.size() > 20;
  if (many) out.details("every job");
  out.heading("By job");
  Table& jobs = out.table("by_job");
  jobs.indent = "  ";
  jobs.columns = {{"file", "", "record", "", 0},        {"date", "", "date", "", 0},
                  {"humidity", "", "humidity", "%", 9}, {"inside", "", "inside", "", 8, 0},
                  {"of", "", "of", "", 5, 0},           {"version", "", "program", "", 9}};
  for (const Job& job : records.jobs)
    jobs.add({fs::path(job.file).filename().string(), dates_of(job), humidity_of(job), job.hits(),
              job.readings.size(), job.version});
  out.details("every reading");
  out.heading("Readings");
  Table& rows = out.table("every_reading");
  rows.indent = "  ";
  rows.columns = {{"file", "record", "record", "", 0},
                  {"date", "date", "date", "", 0},
                  {"humidity_percent", "humidity_percent", "humidity", "%", 9, 0},
                  {"note", "note", "note", "", 0},
                  {"set_up", "set_up", "set-up", "", 0},
                  {"reading", "reading", "reading", "", 0},
                  {"unit", "unit", "", "", 0},
                  {"predicted", "predicted", "predicted", "", 10, 2},
                  {"band", "band", "+-", "", 7, 2},
                  {"measured", "measured", "found", "", 8, 2},
                  {"inside", "inside", "inside", "", 7},
                  {"version", "software_version", "", "", -1}};
  for (const Job& job : records.jobs)
    for (const auto& r : job.readings)
      rows.add({fs::path(job.file).filename().string(), r.date, r.humidity >= 0 ? Entry(r.humidity) : Entry(),
                r.note, r.set_up, r.reading, r.unit, r.predicted, r.band(), r.measured,
                Entry(r.hit()).as(r.hit() ? "yes" : "no"), job.version});
  out.essentials();
  if (!records.left_out.empty()) {
    out.heading("Left out");
    for (const auto& one : records.left_out) out.bullet(one);
  }
  return out;
}

}  // namespace leverwright::table

#include "viz/chart/draw_chart.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "sim/base/error.h"
#include "viz/chart/layout.h"
#include "viz/scene/output_file.h"

extern char** environ;

namespace leverwright::chart {
namespace {

std::string slurp(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

// The program text and its messages: files without names, gone however this program ends.
struct Scratch {
  int script = scene::unnamed_file(), messages = scene::unnamed_file();
  Scratch() = default;
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    close(script);
    close(messages);
  }
};

void write_all(int file, const std::string& text) {
  for (std::size_t done = 0; done < text.size();) {
    const ssize_t n = write(file, text.data() + done, text.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0)
      throw base::UserError("the chart's temporary file could not be written", "free some disk space");
    done += static_cast<std::size_t>(n);
  }
  lseek(file, 0, SEEK_SET);
}

void run_gnuplot(const std::string& program_text) {
  const char* own = std::getenv("LEVERWRIGHT_GNUPLOT");
  const std::string program = own != nullptr && *own != '\0' ? own : "gnuplot";
  const Scratch scratch;
  write_all(scratch.script, program_text);
  // A plain environment for gnuplot: no start-up file, no other terminal, words in UTF-8, no local time.
  std::vector<std::string> kept{"LC_ALL=C.UTF-8", "TZ=UTC"};
  for (char** e = environ; *e != nullptr; ++e)
    if (std::strncmp(*e, "LC_ALL=", 7) != 0 && std::strncmp(*e, "GNUTERM=", 8) != 0 &&
        std::strncmp(*e, "TZ=", 3) != 0)
      kept.emplace_back(*e);
  std::vector<char*> environment;
  for (std::string& e : kept) environment.push_back(e.data());
  environment.push_back(nullptr);
  std::string name = program, option = "-d", file = "/dev/stdin";
  char* const arguments[] = {name.data(), option.data(), file.data(), nullptr};

  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, scratch.script, 0);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, scratch.messages, 2);
  // A group of its own: Ctrl-C is for this program, which finishes the chart at hand.
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETPGROUP);
  posix_spawnattr_setpgroup(&attributes, 0);
  pid_t child = 0;
  const int failed =
      posix_spawnp(&child, program.c_str(), &actions, &attributes, arguments, environment.data());
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  const std::string advice = "install the package gnuplot-nox, or set LEVERWRIGHT_GNUPLOT to the program";
  if (failed != 0)
    throw base::UserError(fmt::format("charts need the program {}, which could not be started: {}", program,
                                      std::strerror(failed)),
                          advice);
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  if (WIFEXITED(status) && WEXITSTATUS(status) == 127)
    throw base::UserError(fmt::format("charts need the program {}, which was not found", program), advice);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    std::istringstream lines(scene::read_back(scratch.messages));
    std::string line, last;
    while (std::getline(lines, line))
      if (line.find_first_not_of(" ^\t") != std::string::npos) last = line;
    throw base::UserError(
        fmt::format("{} failed to draw the chart: {}", program, last.empty() ? "no message" : last),
        "check that gnuplot 5.4 or newer with the cairo terminals is installed (gnuplot-nox)");
  }
}

}  // namespace

void need_tools() {
  scene::find_font(false);
  scene::find_font(true);
  run_gnuplot("exit\n");
}

namespace {

void replace_all(std::string* text, const std::string& from, const std::string& to) {
  for (size_t at = text->find(from); at != std::string::npos; at = text->find(from, at + to.size()))
    text->replace(at, from.size(), to);
}

// gnuplot states an SVG's size in drawing units only (on paper it must be millimetres) and writes the weight
// of letters into the name of the font.
void finish_svg(const Chart& chart, const std::string& path) {
  std::string text = slurp(path);
  const size_t at = text.find("width=\""), end = text.find('\n', at);
  if (at == std::string::npos || end == std::string::npos || text.compare(0, 5, "<?xml") != 0)
    throw base::UserError("gnuplot wrote an SVG this program does not know", "use gnuplot 5.4 or newer");
  text.replace(at, end - at,
               fmt::format("width=\"{:g}mm\" height=\"{:g}mm\"", chart.width_mm, chart.height_mm));
  replace_all(&text, "font-family=\"DejaVu Sans:Bold\"", "font-family=\"DejaVu Sans\" font-weight=\"bold\"");
  const std::string plain = "<title>Gnuplot</title>";
  const size_t title = text.find(plain);
  if (title != std::string::npos) {
    std::string words;
    for (const char c : chart.title)
      words += c == '<' ? "&lt;" : c == '&' ? "&amp;" : c == '>' ? "&gt;" : std::string(1, c);
    text.replace(title, plain.size(), "<title>" + words + "</title>");
  }
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out)
    throw base::UserError("cannot write " + path + ": writing failed part-way", "free some disk space");
}

// The hour a chart was drawn is no part of it: with the same day in every PDF, as in those of viz/paper, the same chart
// is the same bytes.
void finish_pdf(const std::string& path) {
  const std::string mark = "/CreationDate (D:", day = "20000101000000";
  std::string text = slurp(path);
  const size_t at = text.find(mark);
  if (at == std::string::npos ||
      text.find_first_not_of("0123456789", at + mark.size()) < at + mark.size() + day.size())
    return;
  std::fstream out(path, std::ios::binary | std::ios::in | std::ios::out);
  out.seekp(static_cast<std::streamoff>(at + mark.size()));
  out << day;
  out.close();
  if (!out)
    throw base::UserError("cannot write " + path + ": writing failed part-way", "free some disk space");
}

std::string csv_cell(const std::string& text) {
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

std::string number(double v) { return std::isfinite(v) ? fmt::format("{:.9g}", v) : std::string(); }

}  // namespace

std::string write_csv(const Chart& chart) {
  bool spread = false, maps = false;
  for (const Panel& p : chart.panels) {
    maps = maps || p.map;
    for (const Series& s : p.series) spread = spread || !s.low.empty();
    for (const Bar& b : p.bars) spread = spread || std::isfinite(b.low);
  }
  std::string out = "panel,name,x_quantity,x_unit,y_quantity,y_unit,x,y";
  if (spread) out += ",low,high";
  if (maps) out += ",value";
  out += "\n";
  const auto add = [&](const std::string& start, double x, double y, double low, double high, double value) {
    out += fmt::format("{},{},{}", start, number(x), number(y));
    if (spread) out += "," + number(low) + "," + number(high);
    if (maps) out += "," + number(value);
    out += "\n";
  };
  const auto at = [](const std::vector<double>& v, size_t k) { return k < v.size() ? v[k] : kAuto; };
  for (size_t i = 0; i < chart.panels.size(); ++i) {
    const Panel& p = chart.panels[i];
    const Axis& x = p.x.label.empty() && !chart.panels.empty() ? chart.panels.back().x : p.x;
    const std::string panel = csv_cell(p.title.empty() ? fmt::format("{}", i + 1) : p.title);
    const std::string axes = fmt::format("{},{},{},{}", csv_cell(x.label), csv_cell(x.unit),
                                         csv_cell(p.y.label), csv_cell(p.y.unit));
    for (const Series& s : p.series)
      for (size_t k = 0; k < s.x.size() && k < s.y.size(); ++k)
        add(panel + "," + csv_cell(s.name) + "," + axes, s.x[k], s.y[k], at(s.low, k), at(s.high, k), kAuto);
    for (const Bar& b : p.bars) {  // its length along the bar, its middle across
      const double bx = b.upright ? 0.5 * (b.x0 + b.x1) : b.x1 - b.x0,
                   by = b.upright ? b.y1 - b.y0 : 0.5 * (b.y0 + b.y1);
      add(panel + "," + csv_cell(b.name) + "," + axes, bx, by, b.low, b.high, kAuto);
    }
    if (!p.map) continue;
    const HeatMap& m = *p.map;
    const std::string name = csv_cell(m.unit.empty() ? m.name : m.name + " (" + m.unit + ")");
    for (size_t j = 0; j < m.y.size(); ++j)
      for (size_t k = 0; k < m.x.size(); ++k)
        add(panel + "," + name + "," + axes, m.x[k], m.y[j], kAuto, kAuto, m.values[j * m.x.size() + k]);
  }
  for (const EventLine& e : chart.events)
    add("event," + csv_cell(e.label) + ",,,,", e.x, kAuto, kAuto, kAuto, kAuto);
  return out;
}

std::vector<std::string> draw_chart(const Chart& asked, const std::string& stem,
                                    const std::vector<Format>& formats) {
  const Chart chart = on_a_sheet_that_fits(asked);
  scene::find_font(false);
  scene::find_font(true);
  std::vector<std::string> written;
  try {
    for (const Format format : formats) {
      const char* ending = format == Format::kPng ? ".png" : format == Format::kSvg ? ".svg" : ".pdf";
      scene::OutputFile file(stem + ending);
      run_gnuplot(write_script(chart, format, std::filesystem::absolute(file.part_path()).string()));
      std::error_code ignored;
      if (std::filesystem::file_size(file.part_path(), ignored) == 0 || ignored)
        throw base::UserError("gnuplot wrote nothing for " + stem + ending, "check free disk space");
      if (format == Format::kSvg) finish_svg(chart, file.part_path());
      if (format == Format::kPdf) finish_pdf(file.part_path());
      file.keep();
      written.push_back(stem + ending);
    }
    scene::OutputFile csv(stem + ".csv");
    csv.write(write_csv(chart));
    csv.keep();
    written.push_back(stem + ".csv");
  } catch (...) {
    for (const std::string& path : written) std::remove(path.c_str());
    throw;
  }
  return written;
}

}  // namespace leverwright::chart

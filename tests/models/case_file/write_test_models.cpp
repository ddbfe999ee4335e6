// Writes one complete part file per slot and one material file from the schema, every value in the middle of
// its plausible range and called invented; then copies the faulty files of a folder beside them, completed
// with whatever they do not give themselves, so that their own faults are the only ones.
//     write_test_models <folder> <folder of faulty part and material files>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "tests/support/read_text.h"

namespace {

using namespace leverwright::case_file;
namespace fs = std::filesystem;

std::string middle_of(const KeySpec& spec) {
  const Range range = read_range(spec.range, spec.dimension);
  Quantity q;
  q.dimension = spec.dimension;
  q.value = (range.low + range.high) / 2;
  if (spec.dimension == Dimension::kCount) return fmt::format("{:.0f}", q.value);
  return write_quantity(q);
}

// Entries of one slot or place, by name; only what is required.
std::vector<std::pair<std::string, std::string>> entries(const std::string& section) {
  const std::string start = section + ".";
  const auto below = [&](const std::string& path) { return path.compare(0, start.size(), start) == 0; };
  std::vector<std::pair<std::string, std::string>> out;
  for (const auto& [path, spec] : schema().keys)
    if (below(path) && spec.presence == Presence::kRequired)
      out.emplace_back(path.substr(start.size()),
                       fmt::format("{{ value = \"{}\", source = \"invented\" }}", middle_of(spec)));
  for (const auto& [path, spec] : schema().choices)
    if (below(path) && spec.presence == Presence::kRequired)
      out.emplace_back(path.substr(start.size()), fmt::format("\"{}\"", spec.words.front()));
  for (const auto& [path, spec] : schema().point_lists) {
    if (!below(path) || spec.presence != Presence::kRequired) continue;
    std::string points;
    for (int i = 0; i < spec.least_points; ++i)
      points += fmt::format("[{}, {}], ", -70 + 2 * i, -30 + 0.1 * i * i);
    out.emplace_back(path.substr(start.size()),
                     fmt::format("{{ points = [{}], unit = \"mm\", source = \"invented\" }}", points));
  }
  return out;
}

bool gives(const std::string& text, const std::string& key) {
  return text.compare(0, key.size() + 2, key + " =") == 0 ||
         text.find("\n" + key + " =") != std::string::npos;
}

void write_file(const fs::path& path, std::string text, const std::string& section) {
  for (const auto& [key, value] : entries(section))
    if (!gives(text, key)) text += key + " = " + value + "\n";
  std::ofstream(path) << text;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const fs::path folder = argv[1], faulty = argv[2];
  fs::remove_all(folder);
  fs::create_directories(folder / "parts");
  fs::create_directories(folder / "materials");
  for (const SlotSpec& slot : schema().slots)
    write_file(folder / "parts" / ("test_" + slot.name + ".toml"), fmt::format("part = \"{}\"\n", slot.name),
               slot.name);
  const std::string place = "contact." + schema().places.front().name;
  write_file(folder / "materials" / "test_cloth.toml", "name = \"test cloth\"\ninvented = true\n", place);
  // A file that begins with "# as is" is copied untouched.
  for (const char* kind : {"parts", "materials"}) {
    for (const auto& entry : fs::directory_iterator(faulty / kind)) {
      const std::string text = leverwright::support::read_text(entry.path());
      const fs::path target = folder / kind / entry.path().filename();
      if (text.compare(0, 7, "# as is") == 0)
        std::ofstream(target) << text;
      else if (std::string(kind) == "materials")
        write_file(target, text, place);
      else {
        const std::size_t at = text.find("part = \"") + 8;
        write_file(target, text, text.substr(at, text.find('"', at) - at));
      }
    }
  }
  std::ofstream(folder / "written") << "from the schema\n";
  return 0;
}

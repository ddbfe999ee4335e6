#include "viz/scene/version_stamp.h"

#include <boost/crc.hpp>
#include <cstdint>
#include <fstream>
#include <iterator>

#include "sim/base/error.h"
#include "sim/base/version.h"
#include "sim/base/words.h"

namespace leverwright::scene {

namespace {

std::string big_endian(std::uint32_t value) {
  std::string out;
  for (int shift = 24; shift >= 0; shift -= 8) out += static_cast<char>((value >> shift) & 0xffu);
  return out;
}

std::string text_chunk(const std::string& version) {
  const std::string body = std::string("tEXtSoftware") + '\0' + version;
  boost::crc_32_type crc;
  crc.process_bytes(body.data(), body.size());
  return big_endian(static_cast<std::uint32_t>(body.size() - 4)) + body + big_endian(crc.checksum());
}

}  // namespace

void stamp_version(const std::string& path) {
  const bool png = base::ends_with(path, ".png");
  if (!png && !base::ends_with(path, ".svg")) return;
  std::ifstream in(path, std::ios::binary);
  std::string text((std::istreambuf_iterator<char>(in)), {});
  in.close();
  const std::string version = std::string("leverwright ") + base::kVersion;
  std::size_t at = std::string::npos;
  if (png) {
    constexpr std::size_t kFirstChunk = 8,
                          kHeaderEnd = kFirstChunk + 25;  // signature; length, name, 13 bytes, sum
    if (text.size() > kHeaderEnd && text.compare(1, 3, "PNG") == 0 && text.compare(12, 4, "IHDR") == 0)
      at = kHeaderEnd;
  } else if (const auto begin = text.find("<svg"); begin != std::string::npos) {
    at = text.find('>', begin);
    if (at != std::string::npos) ++at;
  }
  if (at == std::string::npos) return;
  text.insert(at, png ? text_chunk(version) : "<!-- " + version + " -->");
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out)
    throw base::UserError("cannot write " + path + ": writing failed part-way", "free some disk space");
}

}  // namespace leverwright::scene

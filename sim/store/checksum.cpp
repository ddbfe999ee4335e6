#include "sim/store/checksum.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/crc.hpp>
#include <fstream>
#include <vector>

namespace leverwright::store {
namespace {

const std::string kStart = "\nleverwright crc32 ";
constexpr std::size_t kDigits = 8;
const std::size_t kLength = kStart.size() + kDigits + 1;  // and the end of the line

std::string line_for(std::uint_least32_t crc) { return fmt::format("{}{:08x}\n", kStart, crc); }

// Of the first `size` bytes.
std::uint_least32_t crc_of(std::ifstream& file, std::streamoff size) {
  boost::crc_32_type crc;
  std::vector<char> block(1u << 18);
  file.seekg(0);
  while (size > 0) {
    file.read(block.data(), std::min<std::streamoff>(size, static_cast<std::streamoff>(block.size())));
    const std::streamsize got = file.gcount();
    if (got <= 0) break;
    crc.process_bytes(block.data(), static_cast<std::size_t>(got));
    size -= got;
  }
  return crc.checksum();
}

std::streamoff size_of(std::ifstream& file) {
  file.seekg(0, std::ios::end);
  return file.tellg();
}

}  // namespace

bool append_checksum(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return false;
  const std::string line = line_for(crc_of(in, size_of(in)));
  std::ofstream out(path, std::ios::binary | std::ios::app);
  out << line;
  out.close();
  return out.good();
}

Checksum check_checksum(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return Checksum::kNone;
  const std::streamoff data = size_of(file) - static_cast<std::streamoff>(kLength);
  if (data <= 0) return Checksum::kNone;
  std::string line(kLength, '\0');
  file.seekg(data);
  file.read(line.data(), static_cast<std::streamsize>(line.size()));
  if (line.compare(0, kStart.size(), kStart) != 0) return Checksum::kNone;
  return line == line_for(crc_of(file, data)) ? Checksum::kAgrees : Checksum::kDisagrees;
}

}  // namespace leverwright::store

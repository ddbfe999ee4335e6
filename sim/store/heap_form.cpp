#include "sim/store/heap_form.h"

#include <cstdint>
#include <cstring>
#include <fstream>
#include <unordered_map>
#include <vector>

namespace leverwright::store {
namespace {

using Bytes = const unsigned char*;
using Sizes =
    std::unordered_map<std::uint32_t, std::uint64_t>;  // of the objects of one collection, by number

constexpr std::uint64_t kCollectionHead = 16, kObjectHead = 16;

template <typename Number>
Number number_at(Bytes at) {
  Number out{};
  std::memcpy(&out, at, sizeof(out));
  return out;
}

// False when an object reaches past the end of its collection.
bool read_collection(Bytes at, std::uint64_t size, Sizes& sizes) {
  std::uint64_t from = kCollectionHead;
  while (from + kObjectHead <= size) {
    const std::uint32_t number = number_at<std::uint16_t>(at + from);
    const auto bytes = number_at<std::uint64_t>(at + from + 8);
    if (bytes > size) return false;
    // Object 0 is what is free: its size counts its head. Others are filled up to a multiple of eight.
    const std::uint64_t need = number == 0 ? bytes : kObjectHead + (bytes + 7) / 8 * 8;
    if (need < kObjectHead || from + need > size) return false;
    if (number != 0) sizes[number] = bytes;
    from += need;
  }
  return true;
}

std::string find_fault(Bytes file, std::uint64_t size, bool references) {
  std::unordered_map<std::uint64_t, Sizes> collections;
  for (std::uint64_t at = 0; at + kCollectionHead <= size; ++at) {
    const void* next = std::memchr(file + at, 'G', size - at);
    if (next == nullptr) break;
    at = static_cast<std::uint64_t>(static_cast<Bytes>(next) - file);
    constexpr unsigned char kHead[] = {'G', 'C', 'O', 'L', 1, 0, 0, 0};
    if (at + kCollectionHead > size || std::memcmp(file + at, kHead, sizeof(kHead)) != 0) continue;
    const auto bytes = number_at<std::uint64_t>(file + at + 8);
    if (bytes > size - at) continue;  // the file is cut short: the library says so
    if (!read_collection(file + at, bytes, collections[at]))
      return "a text reaches past the place it is kept in";
  }
  constexpr std::uint64_t kSuperblockVersion = 8;
  if (!references || collections.empty() || file[kSuperblockVersion] != 0) return "";
  for (std::uint64_t at = 4; at + 12 <= size; at += 8) {
    const auto collection = collections.find(number_at<std::uint64_t>(file + at));
    const auto number = number_at<std::uint32_t>(file + at + 8);
    if (collection == collections.end() || number == 0 || number > 0xffff) continue;
    const auto object = collection->second.find(number);
    if (object == collection->second.end() || object->second > number_at<std::uint32_t>(file + at - 4))
      return "a text's length and the place it is kept in do not agree";
  }
  return "";
}

}  // namespace

std::string find_heap_fault(const std::string& path, bool references) {
  std::ifstream in(path, std::ios::binary | std::ios::ate);
  if (!in || in.tellg() <= 0) return "";
  std::vector<char> bytes(static_cast<std::size_t>(in.tellg()));
  in.seekg(0);
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return find_fault(reinterpret_cast<Bytes>(bytes.data()), static_cast<std::uint64_t>(in.gcount()),
                    references);
}

}  // namespace leverwright::store

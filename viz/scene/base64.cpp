#include "viz/scene/base64.h"

namespace leverwright::scene {

std::string encode_base64(const std::string& bytes) {
  static const char kLetters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve(4 * (bytes.size() / 3 + 1));
  for (size_t k = 0; k < bytes.size(); k += 3) {
    const auto at = [&](size_t i) {
      return k + i < bytes.size() ? static_cast<unsigned>(static_cast<unsigned char>(bytes[k + i])) : 0U;
    };
    const unsigned three = (at(0) << 16U) | (at(1) << 8U) | at(2);
    out += kLetters[(three >> 18U) & 63U];
    out += kLetters[(three >> 12U) & 63U];
    out += k + 1 < bytes.size() ? kLetters[(three >> 6U) & 63U] : '=';
    out += k + 2 < bytes.size() ? kLetters[three & 63U] : '=';
  }
  return out;
}

}  // namespace leverwright::scene

// Bytes as text, for pictures and buffers inside a page.
#pragma once
#include <string>

namespace leverwright::scene {

std::string encode_base64(const std::string& bytes);

}  // namespace leverwright::scene

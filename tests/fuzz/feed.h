// One function a reader of strangers' files: the bytes are handed to it as a file, and it answers or says what is
// wrong. The fuzzers (fuzz_entry.cpp) call it with made-up bytes, corpus_test.cpp with the kept ones.
#pragma once
#include <cstddef>
#include <cstdint>

namespace leverwright::fuzz {

int feed_case(const std::uint8_t* data, std::size_t size);
int feed_part(const std::uint8_t* data, std::size_t size);
int feed_sheet(const std::uint8_t* data, std::size_t size);
int feed_readings(const std::uint8_t* data, std::size_t size);
int feed_history(const std::uint8_t* data, std::size_t size);
int feed_results(const std::uint8_t* data, std::size_t size);

}  // namespace leverwright::fuzz

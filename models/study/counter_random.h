// Random numbers by counter: the number belonging to (seed, stream, index) is worked out from these three
// alone, so it does not matter who asks for it, when, or on which thread.
//
// Philox 4x32 with ten rounds
// [@salmon2011]. One round, with the products m0 c0 and m1 c2 split into high and low
// halves:
//
//   (c0, c1, c2, c3) <- (high(m1 c2) ^ c1 ^ k0, low(m1 c2), high(m0 c0) ^ c3 ^ k1, low(m0 c0))
//   (k0, k1)         <- (k0 + w0, k1 + w1)   before every round but the first
#pragma once
#include <array>
#include <cstdint>

namespace leverwright::study {

using Counter = std::array<std::uint32_t, 4>;
using CounterKey = std::array<std::uint32_t, 2>;

inline Counter philox(Counter c, CounterKey k) {
  constexpr std::uint64_t m0 = 0xD2511F53, m1 = 0xCD9E8D57;
  constexpr std::uint32_t w0 = 0x9E3779B9, w1 = 0xBB67AE85;
  for (int round = 0; round < 10; ++round) {
    if (round > 0) {
      k[0] += w0;
      k[1] += w1;
    }
    const std::uint64_t p0 = m0 * c[0], p1 = m1 * c[2];
    c = {static_cast<std::uint32_t>(p1 >> 32) ^ c[1] ^ k[0], static_cast<std::uint32_t>(p1),
         static_cast<std::uint32_t>(p0 >> 32) ^ c[3] ^ k[1], static_cast<std::uint32_t>(p0)};
  }
  return c;
}

// Uniform strictly between 0 and 1 (2^-54 from either end at least).
inline double counter_uniform(std::uint64_t seed, std::uint64_t stream, std::uint64_t index) {
  const Counter c = philox({static_cast<std::uint32_t>(index), static_cast<std::uint32_t>(index >> 32),
                            static_cast<std::uint32_t>(stream), static_cast<std::uint32_t>(stream >> 32)},
                           {static_cast<std::uint32_t>(seed), static_cast<std::uint32_t>(seed >> 32)});
  const std::uint64_t bits = (static_cast<std::uint64_t>(c[0]) << 32 | c[1]) >> 11;  // 53 of them
  return (static_cast<double>(bits) + 0.5) * 0x1p-53;
}

// Standard normal, by the inverse of its distribution function.
double counter_normal(std::uint64_t seed, std::uint64_t stream, std::uint64_t index);

}  // namespace leverwright::study

#include "formats/hash.h"

#include <sodium.h>

#include <cstring>

#include "formats/sha256_blocks.h"

namespace headroom {

Hash sha256(std::string_view bytes) {
  Hash hash;
  const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
  if (!has_sha_instructions()) {
    // Needs no sodium_init: the function keeps no state. It cannot fail; its int is always 0.
    crypto_hash_sha256(hash.bytes.data(), data, bytes.size());
    return hash;
  }
  // A recording is hashed each time it is read, a fifth of a debrief's time with the portable function.
  std::uint32_t state[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
  const std::size_t whole = bytes.size() / 64, rest = bytes.size() % 64;
  sha256_blocks(state, data, whole);
  // Padding, FIPS 180-4, section 5.1.1: a one, zeros, and the length in bits.
  unsigned char last[128] = {};
  if (rest > 0) std::memcpy(last, data + 64 * whole, rest);
  last[rest] = 0x80;
  const std::size_t blocks = rest < 56 ? 1 : 2;
  const std::uint64_t bits = static_cast<std::uint64_t>(bytes.size()) * 8;
  for (std::size_t i = 0; i < 8; ++i) last[64 * blocks - 1 - i] = static_cast<unsigned char>(bits >> (8 * i));
  sha256_blocks(state, last, blocks);
  for (std::size_t i = 0; i < 8; ++i)
    for (std::size_t b = 0; b < 4; ++b) hash.bytes[4 * i + b] = static_cast<std::uint8_t>(state[i] >> (24 - 8 * b));
  return hash;
}

}  // namespace headroom

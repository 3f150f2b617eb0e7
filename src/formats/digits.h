#pragma once
// Fixed-width decimal fields read eight bytes at a time. The arithmetic is the well-known pairwise one: neighbours
// combine to two, four, then eight digits with one multiplication each.
#include <bit>
#include <cstdint>
#include <cstring>

namespace headroom::digits {

static_assert(std::endian::native == std::endian::little, "the byte order of the loads below");

inline constexpr std::uint64_t kZeros = 0x3030303030303030ULL;

inline std::uint64_t load8(const char* p) {
  std::uint64_t w;
  std::memcpy(&w, p, sizeof w);
  return w;
}
// 0 when all eight bytes are '0'..'9'.
constexpr std::uint64_t not_digits(std::uint64_t w) {
  return ((w & 0xF0F0F0F0F0F0F0F0ULL) ^ kZeros) | (((w + 0x0606060606060606ULL) & 0xF0F0F0F0F0F0F0F0ULL) ^ kZeros);
}
// Four two-digit numbers, the first in the lowest 16 bits.
constexpr std::uint64_t pairs(std::uint64_t w) {
  w &= 0x0F0F0F0F0F0F0F0FULL;
  return (w * 10 + (w >> 8U)) & 0x00FF00FF00FF00FFULL;
}
// The eight-digit number; bytes must be digits.
constexpr std::uint32_t eight(std::uint64_t w) {
  w = pairs(w);
  w = (w * 100 + (w >> 16U)) & 0x0000FFFF0000FFFFULL;
  return static_cast<std::uint32_t>(w * 10000 + (w >> 32U));
}
// The last `count` (1..8) bytes of w with zeros before them.
constexpr std::uint64_t last(std::uint64_t w, unsigned count) {
  const std::uint64_t before = count >= 8 ? 0 : ~std::uint64_t{0} >> (8U * count);
  return (w & ~before) | (kZeros & before);
}

constexpr bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
// Two digits as a number, or -1.
constexpr int two(const char* p) {
  return is_digit(p[0]) && is_digit(p[1]) ? (p[0] - '0') * 10 + (p[1] - '0') : -1;
}

}  // namespace headroom::digits

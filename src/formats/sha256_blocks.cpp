#include "formats/sha256_blocks.h"

#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace headroom {

#if defined(__x86_64__)

namespace {

// FIPS 180-4, section 4.2.2.
alignas(16) constexpr std::uint32_t kRoundConstants[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98, 0x12835b01,
    0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc,
    0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147,
    0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08,
    0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208,
    0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

}  // namespace

bool has_sha_instructions() {
  static const bool has = [] {
    unsigned a = 7, b = 0, c = 0, d = 0;
    // CPUID leaf 7: SHA in EBX bit 29 (Intel SDM, volume 2A); g++ 12 does not know its name in __builtin_cpu_supports.
    __asm__("cpuid" : "+a"(a), "=b"(b), "+c"(c), "=d"(d));
    return (b >> 29 & 1U) != 0 && __builtin_cpu_supports("sse4.1") && __builtin_cpu_supports("ssse3");
  }();
  return has;
}

__attribute__((target("sha,sse4.1,ssse3"))) void sha256_blocks(std::uint32_t state[8], const unsigned char* data,
                                                               std::size_t blocks) {
  const __m128i swap = _mm_set_epi64x(0x0c0d0e0f08090a0bLL, 0x0405060700010203LL);  // words are big-endian in the message
  // The instructions want (a b e f) and (c d g h).
  __m128i low = _mm_loadu_si128(reinterpret_cast<const __m128i*>(state)),
          high = _mm_loadu_si128(reinterpret_cast<const __m128i*>(state + 4));
  low = _mm_shuffle_epi32(low, 0xB1);
  high = _mm_shuffle_epi32(high, 0x1B);
  __m128i abef = _mm_alignr_epi8(low, high, 8), cdgh = _mm_blend_epi16(high, low, 0xF0);
  for (; blocks > 0; --blocks, data += 64) {
    const __m128i abef_before = abef, cdgh_before = cdgh;
    __m128i w[4];
    for (int i = 0; i < 4; ++i) w[i] = _mm_shuffle_epi8(_mm_loadu_si128(reinterpret_cast<const __m128i*>(data + 16 * i)), swap);
    for (int group = 0; group < 16; ++group) {
      __m128i& now = w[group & 3];
      if (group >= 4) {
        const __m128i before = w[(group + 3) & 3];
        now = _mm_sha256msg1_epu32(now, w[(group + 1) & 3]);
        now = _mm_add_epi32(now, _mm_alignr_epi8(before, w[(group + 2) & 3], 4));
        now = _mm_sha256msg2_epu32(now, before);
      }
      __m128i k = _mm_add_epi32(now, _mm_load_si128(reinterpret_cast<const __m128i*>(kRoundConstants + 4 * group)));
      cdgh = _mm_sha256rnds2_epu32(cdgh, abef, k);
      k = _mm_shuffle_epi32(k, 0x0E);
      abef = _mm_sha256rnds2_epu32(abef, cdgh, k);
    }
    abef = _mm_add_epi32(abef, abef_before);
    cdgh = _mm_add_epi32(cdgh, cdgh_before);
  }
  low = _mm_shuffle_epi32(abef, 0x1B);
  high = _mm_shuffle_epi32(cdgh, 0xB1);
  _mm_storeu_si128(reinterpret_cast<__m128i*>(state), _mm_blend_epi16(low, high, 0xF0));
  _mm_storeu_si128(reinterpret_cast<__m128i*>(state + 4), _mm_alignr_epi8(high, low, 8));
}

#else

bool has_sha_instructions() {
  return false;
}
void sha256_blocks(std::uint32_t*, const unsigned char*, std::size_t) {}

#endif

}  // namespace headroom

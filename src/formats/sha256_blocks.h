#pragma once
// The compression function of SHA-256 over whole blocks, by the processor's own instructions where it has them.
// Source: FIPS 180-4, section 6.2.2; Intel, New Instructions Supporting the Secure Hash Algorithm (2013).
#include <cstddef>
#include <cstdint>

namespace headroom {

// Whether this processor has them; asked once.
[[nodiscard]] bool has_sha_instructions();
// `state` is a..h of FIPS 180-4, updated by `blocks` blocks of 64 bytes. Only when has_sha_instructions().
void sha256_blocks(std::uint32_t state[8], const unsigned char* data, std::size_t blocks);

}  // namespace headroom

#include "formats/hash.h"

#include <gtest/gtest.h>
#include <sodium.h>

#include <random>
#include <string>

namespace headroom {
namespace {

// FIPS 180-4 examples (NIST, SHA-256 example values): "abc", the two-block message, and one million letters a.
TEST(Sha256, AgreesWithThePublishedExamples) {
  EXPECT_EQ(sha256("abc").text(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").text(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(std::string(1'000'000, 'a')).text(), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

// Every length about the block edges, against libsodium.
TEST(Sha256, AgreesWithTheLibraryAtEveryLength) {
  std::mt19937 chance(11);
  std::string bytes;
  for (std::size_t length = 0; length < 300; ++length) {
    Hash of_library;
    crypto_hash_sha256(of_library.bytes.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    EXPECT_EQ(sha256(bytes), of_library) << length;
    bytes.push_back(static_cast<char>(chance()));
  }
}

}  // namespace
}  // namespace headroom

#include "formats/hash.h"

#include <sodium.h>

namespace headroom {

Hash sha256(std::string_view bytes) {
  Hash hash;
  // Needs no sodium_init: the function keeps no state. It cannot fail; its int is always 0.
  crypto_hash_sha256(hash.bytes.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  return hash;
}

}  // namespace headroom

#pragma once
// The folded state as bytes for the cache, so that a command on a long book need not read the book. Little more than a copy
// of memory: it is for this machine and this build only, and any doubt means folding again.
#include <optional>
#include <string>
#include <string_view>

#include "core/book/state.h"

namespace headroom {

// Raised whenever State, the fold or a prior that the fold uses changes its meaning.
inline constexpr std::uint32_t kSnapshotVersion = 5;

// `key` names what the state was folded from: the chain heads of the book.
[[nodiscard]] std::string encode_snapshot(const State& state, std::string_view key);
// Nothing when the bytes are of another version, byte order or key, are cut or damaged, or were folded from something else.
[[nodiscard]] std::optional<State> decode_snapshot(std::string_view bytes, std::string_view key);

}  // namespace headroom

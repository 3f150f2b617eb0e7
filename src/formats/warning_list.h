#pragma once
// Warnings and line counts of one reading, bounded: of each kind at most kListed are listed, the rest counted.
#include <algorithm>
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/track/recording.h"

namespace headroom {

class WarningList {
 public:
  static constexpr std::uint64_t kListed = 50;

  // `text()` is called only when the warning is listed.
  template <class MakeText>
  void add(WarningCode code, std::uint64_t line, MakeText&& text) {
    if (seen_[index(code)]++ < kListed)
      listed_.push_back({code, static_cast<std::uint32_t>(std::min<std::uint64_t>(line, UINT32_MAX)), std::string(text())});
  }
  // The same, and the line (or element) counts as dropped for this reason.
  template <class MakeText>
  void drop(WarningCode code, std::uint64_t line, MakeText&& text) {
    ++dropped_[index(code)];
    ++all_dropped_;
    add(code, line, std::forward<MakeText>(text));
  }
  [[nodiscard]] std::uint64_t seen(WarningCode code) const { return seen_[index(code)]; }

  [[nodiscard]] std::uint64_t dropped() const { return all_dropped_; }

  // Moves the list into `recording` in order of line and fills `dropped` and `dropped_by` of its account.
  void write_to(Recording& recording);

 private:
  static constexpr std::size_t kCodes = 64;
  static std::size_t index(WarningCode code) { return static_cast<std::size_t>(code) % kCodes; }
  std::array<std::uint64_t, kCodes> seen_{};
  std::array<std::uint64_t, kCodes> dropped_{};
  std::uint64_t all_dropped_ = 0;
  std::vector<Warning> listed_;
};

// Header text as valid UTF-8 without control characters: bytes that are not UTF-8 are read as Latin-1.
[[nodiscard]] std::string clean_text(std::string_view bytes);

// Whether a header or an early comment calls its recording invented: the word "simulated" or "invented", in any case.
[[nodiscard]] bool says_invented(std::string_view text);

}  // namespace headroom

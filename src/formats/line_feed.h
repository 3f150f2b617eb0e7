#pragma once
// Cuts the bytes of a text recording into lines, whatever the chunks they come in. LF, CR LF and CR each end a line. A
// line is handed on where it lies; only one that a chunk cut is copied, up to kLongestLine bytes of it.
#include <algorithm>
#include <bit>
#include <cstdint>
#include <string>
#include <string_view>

#include "formats/digits.h"

namespace headroom {

class LineFeed {
 public:
  // Of a longer line only the size is told: kLongestLine + 1.
  static constexpr std::size_t kLongestLine = 64 * 1024;

  // Calls on_line(const char* begin, std::size_t size, std::uint64_t offset, bool cut) for each line without its end.
  template <class OnLine>
  void feed(std::string_view chunk, OnLine&& on_line);
  // The last line, when no line end closed it: `cut` is true.
  template <class OnLine>
  void finish(OnLine&& on_line);

  // Whether line ends of more than one kind were met.
  [[nodiscard]] bool mixed_ends() const { return std::popcount(ends_ | (after_cr_ ? kCr : 0U)) > 1; }

 private:
  static constexpr unsigned kLf = 1, kCrLf = 2, kCr = 4;
  static const char* find_end(const char* p, const char* end);
  [[nodiscard]] std::size_t told_size() const { return carry_size_ > kLongestLine ? kLongestLine + 1 : carry_.size(); }

  std::uint64_t fed_ = 0;      // bytes of the chunks before
  std::uint64_t started_ = 0;  // offset of the line in `carry_`
  std::string carry_;          // the beginning of a line that the chunk cut
  std::uint64_t carry_size_ = 0;
  bool after_cr_ = false;
  unsigned ends_ = 0;
};

// The first '\n' or '\r' at or after p, or `end`.
inline const char* LineFeed::find_end(const char* p, const char* end) {
  constexpr std::uint64_t kOnes = 0x0101010101010101ULL, kHighs = 0x8080808080808080ULL;
  while (true) {
    while (end - p >= 8) {
      const std::uint64_t w = digits::load8(p);
      const std::uint64_t below_14 = (w - kOnes * 14) & ~w & kHighs;
      if (below_14 != 0) {
        p += std::countr_zero(below_14) / 8;
        break;
      }
      p += 8;
    }
    // Byte by byte to the end of the chunk, and through other control bytes, which come in crowds.
    while (p != end && *p != '\n' && *p != '\r' && (end - p < 8 || static_cast<unsigned char>(*p) < 14)) ++p;
    if (p == end || *p == '\n' || *p == '\r') return p;
  }
}

template <class OnLine>
void LineFeed::feed(std::string_view chunk, OnLine&& on_line) {
  const char* const begin = chunk.data();
  const char* p = begin;
  const char* const end = p + chunk.size();
  if (after_cr_ && p != end) {
    after_cr_ = false;
    ends_ |= *p == '\n' ? kCrLf : kCr;
    if (*p == '\n') ++p;
  }
  while (p != end) {
    const char* const stop = find_end(p, end);
    const auto size = static_cast<std::size_t>(stop - p);
    const std::uint64_t offset = fed_ + static_cast<std::uint64_t>(p - begin);
    if (carry_size_ != 0 || stop == end) {
      if (carry_size_ == 0) started_ = offset;
      carry_.append(p, std::min(size, kLongestLine - carry_.size()));
      carry_size_ += size;
      if (stop == end) break;
      on_line(carry_.data(), told_size(), started_, false);
      carry_.clear();
      carry_size_ = 0;
    } else {
      on_line(p, size, offset, false);
    }
    p = stop + 1;
    if (*stop == '\n') {
      ends_ |= kLf;
    } else if (p == end) {
      after_cr_ = true;
    } else if (*p == '\n') {
      ends_ |= kCrLf;
      ++p;
    } else {
      ends_ |= kCr;
    }
  }
  fed_ += chunk.size();
}

template <class OnLine>
void LineFeed::finish(OnLine&& on_line) {
  if (carry_size_ != 0) on_line(carry_.data(), told_size(), started_, true);
  carry_.clear();
  carry_size_ = 0;
}

}  // namespace headroom

#pragma once
// Zip archives made byte by byte after PKWARE's APPNOTE.TXT 6.3 (sections 4.3.7, 4.3.12, 4.3.16; field layout from memory,
// proved by the library that reads them), so that each field can be made wrong.
#include <zlib.h>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace headroom::test {

inline std::string deflated(std::string_view bytes, int window_bits = -MAX_WBITS) {
  z_stream z{};
  deflateInit2(&z, Z_BEST_COMPRESSION, Z_DEFLATED, window_bits, 8, Z_DEFAULT_STRATEGY);
  std::string in(bytes), out(deflateBound(&z, static_cast<uLong>(in.size())) + 32, '\0');
  z.next_in = reinterpret_cast<Bytef*>(in.data());
  z.avail_in = static_cast<uInt>(in.size());
  z.next_out = reinterpret_cast<Bytef*>(out.data());
  z.avail_out = static_cast<uInt>(out.size());
  deflate(&z, Z_FINISH);
  out.resize(z.total_out);
  deflateEnd(&z);
  return out;
}
inline std::string gzipped(std::string_view bytes) {
  return deflated(bytes, 16 + MAX_WBITS);
}

class ZipBuilder {
 public:
  struct Change {
    unsigned flags = 0;
    unsigned method = 8;
    std::uint32_t crc_xor = 0;
    std::uint32_t size_plus = 0;
  };
  ZipBuilder& add(std::string_view name, std::string_view content) { return add(name, content, Change{}); }
  ZipBuilder& add(std::string_view name, std::string_view content, Change change) {
    const std::string packed = change.method == 0 ? std::string(content) : deflated(content);
    std::string in(content);
    const auto crc =
        static_cast<std::uint32_t>(crc32(0, reinterpret_cast<const Bytef*>(in.data()), static_cast<uInt>(in.size()))) ^
        change.crc_xor;
    const std::size_t at = bytes_.size();
    put4(bytes_, 0x04034B50);
    common(bytes_, name, packed, content, crc, change);
    put2(bytes_, 0);
    bytes_ += name;
    bytes_ += packed;
    point_at(at, name, packed, content, crc, change);
    return *this;
  }
  // The latest file once more in the list: the same bytes unpacked again.
  ZipBuilder& list_again() {
    list_ += latest_;
    ++count_;
    return *this;
  }
  [[nodiscard]] std::string bytes() const {
    std::string out = bytes_ + list_;
    put4(out, 0x06054B50);
    put2(out, 0);
    put2(out, 0);
    put2(out, count_);
    put2(out, count_);
    put4(out, static_cast<std::uint32_t>(list_.size()));
    put4(out, static_cast<std::uint32_t>(bytes_.size()));
    put2(out, 0);
    return out;
  }

 private:
  static void put2(std::string& to, std::size_t v) {
    to += static_cast<char>(v & 255U);
    to += static_cast<char>(v >> 8U & 255U);
  }
  static void put4(std::string& to, std::uint32_t v) {
    put2(to, v & 0xFFFFU);
    put2(to, v >> 16U);
  }
  static void common(std::string& to, std::string_view name, std::string_view packed, std::string_view content, std::uint32_t crc,
                     Change change) {
    put2(to, 20);
    put2(to, change.flags);
    put2(to, change.method);
    put4(to, 0);
    put4(to, crc);
    put4(to, static_cast<std::uint32_t>(packed.size()));
    put4(to, static_cast<std::uint32_t>(content.size()) + change.size_plus);
    put2(to, name.size());
  }
  void point_at(std::size_t at, std::string_view name, std::string_view packed, std::string_view content, std::uint32_t crc,
                Change change) {
    latest_.clear();
    put4(latest_, 0x02014B50);
    put2(latest_, 20);
    common(latest_, name, packed, content, crc, change);
    put2(latest_, 0);
    put2(latest_, 0);
    put2(latest_, 0);
    put2(latest_, 0);
    put4(latest_, 0);
    put4(latest_, static_cast<std::uint32_t>(at));
    latest_ += name;
    list_again();
  }

  std::string bytes_, list_, latest_;
  std::size_t count_ = 0;
};

}  // namespace headroom::test

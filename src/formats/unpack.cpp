#include "formats/unpack.h"

#include <fmt/format.h>
#include <minizip/unzip.h>
#include <zlib.h>
#include <algorithm>
#include <array>
#include <cstring>
#include <limits>
#include <memory>
#include <optional>

#include "formats/format.h"
#include "formats/warning_list.h"

namespace headroom {
namespace {

constexpr std::size_t kPiece = 64 * 1024;
// Longer names are cut: they are only shown.
constexpr std::size_t kLongestName = 255;
constexpr std::string_view kUnpackYourself = "unpack it yourself and give the files";

// What may still be unpacked. Bytes of refused files count as well, so that the work is bounded too.
class Allowance {
 public:
  explicit Allowance(const UnpackLimits& limits) : limits_(limits), left_(limits.most_bytes) {}

  void begin(std::uint64_t packed) {
    packed_ = packed;
    taken_ = 0;
  }
  // Why `size` further bytes of the file begun are too many; empty when they are not.
  std::string refuse(std::uint64_t size) {
    if (size > left_) {
      left_ = 0;
      return fmt::format("the archive unpacks to more than {} MiB: not unpacked further", limits_.most_bytes >> 20U);
    }
    left_ -= size;
    taken_ += size;
    if (taken_ > limits_.ratio_from && taken_ / limits_.most_ratio > packed_)
      return fmt::format("it unpacks to more than {} times its packed size, as no recording does: not unpacked",
                         limits_.most_ratio);
    return {};
  }
  [[nodiscard]] bool used_up() const { return left_ == 0; }

 private:
  UnpackLimits limits_;
  std::uint64_t left_;
  std::uint64_t packed_ = 0, taken_ = 0;
};

tl::unexpected<Error> refused(std::string what) {
  return fail(ErrorKind::bad_input, std::move(what));
}
// The content, unless it is an archive itself.
Result<std::string> if_no_archive(std::string content) {
  const Format format = sniff_format(content);
  if (format == Format::zip || format == Format::gzip)
    return refused(fmt::format("an archive within an archive: {}", kUnpackYourself));
  return content;
}
std::string shown_name(std::string_view bytes) {
  return clean_text(bytes.substr(0, kLongestName));
}

// ---- zip -------------------------------------------------------------------------------------------------------------

// The archive's bytes as the library's file. Every request is held to the bytes that there are.
struct ZipMemory {
  std::string_view bytes;
  std::uint64_t at = 0;
};
voidpf zip_open(voidpf memory, const void*, int mode) {
  return (static_cast<unsigned>(mode) & ZLIB_FILEFUNC_MODE_WRITE) != 0 ? nullptr : memory;
}
uLong zip_read(voidpf, voidpf stream, void* into, uLong size) {
  auto& memory = *static_cast<ZipMemory*>(stream);
  const std::uint64_t have = memory.bytes.size() - memory.at;
  const auto taken = static_cast<std::size_t>(std::min<std::uint64_t>(size, have));
  if (taken != 0) std::memcpy(into, memory.bytes.data() + memory.at, taken);
  memory.at += taken;
  return static_cast<uLong>(taken);
}
uLong zip_write(voidpf, voidpf, const void*, uLong) {
  return 0;
}
ZPOS64_T zip_tell(voidpf, voidpf stream) {
  return static_cast<ZipMemory*>(stream)->at;
}
long zip_seek(voidpf, voidpf stream, ZPOS64_T offset, int origin) {
  auto& memory = *static_cast<ZipMemory*>(stream);
  const std::uint64_t from = origin == ZLIB_FILEFUNC_SEEK_CUR   ? memory.at
                             : origin == ZLIB_FILEFUNC_SEEK_END ? memory.bytes.size()
                                                                : 0;
  if (offset > memory.bytes.size() - from) return -1;
  memory.at = from + offset;
  return 0;
}
int zip_close(voidpf, voidpf) {
  return 0;
}
int zip_error(voidpf, voidpf) {
  return 0;
}

Result<std::string> unpack_member(unzFile zip, const unz_file_info64& info, std::uint64_t archive_size, Allowance& allowance) {
  if ((info.flag & 1U) != 0) return refused(fmt::format("it is encrypted: {}", kUnpackYourself));
  if (info.compression_method != 0 && info.compression_method != Z_DEFLATED)
    return refused(fmt::format("it is packed by method {}, which is not read: {}", info.compression_method, kUnpackYourself));
  if (allowance.used_up()) return refused("the archive unpacks to too much: not unpacked");
  constexpr std::string_view kDamaged = "it is damaged: its packed bytes cannot be read to the end";
  if (unzOpenCurrentFile(zip) != UNZ_OK) return refused(std::string(kDamaged));
  allowance.begin(std::min<std::uint64_t>(info.compressed_size, archive_size));
  std::string content;
  std::array<char, kPiece> piece;
  std::string reason;
  int got = 0;
  while (reason.empty() && (got = unzReadCurrentFile(zip, piece.data(), static_cast<unsigned>(piece.size()))) > 0) {
    reason = allowance.refuse(static_cast<std::uint64_t>(got));
    content.append(piece.data(), static_cast<std::size_t>(got));
  }
  const bool sum_fits = unzCloseCurrentFile(zip) == UNZ_OK;
  if (!reason.empty()) return refused(std::move(reason));
  if (got < 0) return refused(std::string(kDamaged));
  if (!sum_fits || content.size() != info.uncompressed_size)
    return refused("it is damaged: what it unpacks to does not fit its checksum or its size");
  return if_no_archive(std::move(content));
}

Result<std::vector<UnpackedFile>> unpack_zip(std::string_view bytes, const UnpackLimits& limits) {
  constexpr std::string_view kUnreadable = "this zip archive is damaged: its list of files cannot be read";
  // An archive of no files is only the end of a list, which the library does not see at the very start.
  if (bytes.starts_with("PK\x05\x06")) return std::vector<UnpackedFile>{};
  ZipMemory memory{bytes};
  zlib_filefunc64_def functions{zip_open, zip_read, zip_write, zip_tell, zip_seek, zip_close, zip_error, &memory};
  // The library calls the opener with `opaque` first, and gives what it returns to the others.
  const std::unique_ptr<void, int (*)(unzFile)> zip(unzOpen2_64("", &functions), unzClose);
  if (!zip) return refused(std::string(kUnreadable));
  unz_global_info64 global{};
  if (unzGetGlobalInfo64(zip.get(), &global) != UNZ_OK) return refused(std::string(kUnreadable));
  if (global.number_entry > limits.most_files)
    return refused(fmt::format("this zip archive holds {} files, and at most {} are unpacked: {}", global.number_entry,
                               limits.most_files, kUnpackYourself));
  std::vector<UnpackedFile> files;
  if (global.number_entry == 0) return files;
  Allowance allowance(limits);
  std::uint64_t met = 0;
  for (int next = unzGoToFirstFile(zip.get()); met < global.number_entry; next = unzGoToNextFile(zip.get()), ++met) {
    unz_file_info64 info{};
    std::array<char, kLongestName + 1> name{};
    if (next != UNZ_OK ||
        unzGetCurrentFileInfo64(zip.get(), &info, name.data(), kLongestName, nullptr, 0, nullptr, 0) != UNZ_OK) {
      if (files.empty()) return refused(std::string(kUnreadable));
      files.push_back({"", refused("the archive's list of files breaks off here: the files behind are lost")});
      break;
    }
    const std::string_view written(name.data(), std::min<std::size_t>(info.size_filename, kLongestName));
    if (written.ends_with('/') || written.starts_with("__MACOSX/")) continue;
    files.push_back({shown_name(written), unpack_member(zip.get(), info, bytes.size(), allowance)});
  }
  return files;
}

// ---- gzip ------------------------------------------------------------------------------------------------------------

struct Inflater {
  z_stream stream{};
  bool ready = inflateInit2(&stream, 16 + MAX_WBITS) == Z_OK;  // gzip only
  Inflater() = default;
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;
  ~Inflater() {
    if (ready) inflateEnd(&stream);
  }
};

Result<std::string> gunzip(std::string_view bytes, const UnpackLimits& limits, std::string& name) {
  constexpr std::string_view kDamaged = "this gzip file is damaged: its packed bytes cannot be read to the end";
  Inflater inflater;
  if (!inflater.ready) return fail(ErrorKind::io, "no memory to unpack with");
  z_stream& z = inflater.stream;
  std::array<unsigned char, kLongestName + 1> name_bytes{};
  gz_header header{};
  header.name = name_bytes.data();
  header.name_max = kLongestName;
  inflateGetHeader(&z, &header);

  Allowance allowance(limits);
  allowance.begin(bytes.size());
  std::string content;
  std::array<unsigned char, kPiece> piece;
  // The library takes its input through a pointer to bytes that it never writes.
  std::size_t given = 0;
  std::string input;
  while (true) {
    if (z.avail_in == 0 && given < bytes.size()) {
      input.assign(bytes.substr(given, kPiece));
      given += input.size();
      z.next_in = reinterpret_cast<Bytef*>(input.data());
      z.avail_in = static_cast<uInt>(input.size());
    }
    z.next_out = piece.data();
    z.avail_out = static_cast<uInt>(piece.size());
    const int status = inflate(&z, Z_NO_FLUSH);
    const std::size_t got = piece.size() - z.avail_out;
    if (std::string reason = allowance.refuse(got); !reason.empty()) return refused(std::move(reason));
    content.append(reinterpret_cast<const char*>(piece.data()), got);
    if (status == Z_STREAM_END) {
      const std::string_view rest = bytes.substr(given - z.avail_in);
      // Zeros fill up a tape's block; another member goes on where this one ended.
      if (std::all_of(rest.begin(), rest.end(), [](char c) { return c == '\0'; })) break;
      if (!rest.starts_with("\x1F\x8B")) return refused("this gzip file is damaged: other bytes follow its end");
      if (inflateReset(&z) != Z_OK) return refused(std::string(kDamaged));
      continue;
    }
    const bool starved = z.avail_in == 0 && given == bytes.size() && got == 0;
    if ((status != Z_OK && status != Z_BUF_ERROR) || starved) return refused(std::string(kDamaged));
  }
  name = shown_name(
      {reinterpret_cast<const char*>(name_bytes.data()), std::strlen(reinterpret_cast<const char*>(name_bytes.data()))});
  return if_no_archive(std::move(content));
}

}  // namespace

Result<std::vector<UnpackedFile>> unpack(std::string_view bytes, UnpackLimits limits) {
  limits.most_ratio = std::max<std::uint64_t>(limits.most_ratio, 1);
  switch (sniff_format(bytes)) {
    case Format::zip:
      return unpack_zip(bytes, limits);
    case Format::gzip: {
      std::string name;
      auto content = gunzip(bytes, limits, name);
      std::vector<UnpackedFile> files;
      files.push_back({std::move(name), std::move(content)});
      return files;
    }
    default:
      return refused("this is no zip or gzip archive");
  }
}

}  // namespace headroom

// Any bytes through the unpacker: no file beyond its bounds, no archive within one, a sentence for each refusal.
#include <cstddef>
#include <cstdint>
#include <cstdlib>

#include "formats/format.h"
#include "formats/unpack.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace headroom;
  UnpackLimits limits;
  limits.most_bytes = std::uint64_t{1} << 20U;
  limits.most_files = 20;
  limits.ratio_from = 4096;
  const auto files = unpack({reinterpret_cast<const char*>(data), size}, limits);
  if (!files) {
    if (files.error().what.empty()) std::abort();
    return 0;
  }
  if (files->size() > limits.most_files) std::abort();
  std::uint64_t all = 0;
  for (const UnpackedFile& file : *files) {
    if (!file.content) {
      if (file.content.error().what.empty()) std::abort();
      continue;
    }
    all += file.content->size();
    const Format format = sniff_format(*file.content);
    if (format == Format::zip || format == Format::gzip) std::abort();
  }
  if (all > limits.most_bytes) std::abort();
  return 0;
}

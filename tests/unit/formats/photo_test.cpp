// First bytes as the standards give them: ISO/IEC 10918-1 B.1.1.3 (SOI, then a marker), ISO/IEC 15948 5.2.
#include "formats/photo.h"

#include <gtest/gtest.h>

#include <string>

namespace headroom {
namespace {

TEST(PhotoKind, IsToldByTheFirstBytesAlone) {
  EXPECT_EQ(photo_kind(std::string("\xFF\xD8\xFF\xE0\x00\x10", 6)), PhotoKind::jpeg);
  EXPECT_EQ(photo_kind(std::string("\x89PNG\r\n\x1A\n\x00", 9)), PhotoKind::png);
  for (const char* other : {"", "\xFF\xD8", "\x89PNG\n", "GIF89a", "BM", "HFDTE020526", "meadow.jpg"})
    EXPECT_FALSE(photo_kind(other)) << other;
}

}  // namespace
}  // namespace headroom

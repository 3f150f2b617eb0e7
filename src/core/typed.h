#pragma once
// How something is typed on the command line, within a sentence that is shown elsewhere too: set apart so that the rest is a
// whole sentence without it. "Name the field" + typed(": --field NAME") + "."
#include <string>
#include <string_view>

namespace headroom {

// U+FDD4 and U+FDD5: Unicode noncharacters, meant for use inside a program. cli/text.cpp has its own next to them.
inline constexpr std::string_view kTypedFrom = "\xEF\xB7\x94", kTypedTo = "\xEF\xB7\x95";

// `text` between the two marks; marks already in it are dropped, so that one such part never holds another.
[[nodiscard]] std::string typed(std::string_view text);
// The text as the command line shows it: only the marks are dropped.
[[nodiscard]] std::string with_typed(std::string_view text);
// The text as a page shows it: what stands between the marks goes too. A mark without its other half is dropped alone; of two
// that open, the one nearer to the mark that closes counts.
[[nodiscard]] std::string without_typed(std::string_view text);

}  // namespace headroom

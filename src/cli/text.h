#pragma once
// Plain text for a terminal: wrapping at the reader's width, rows, and the interval drawn against its limit.
#include <string>
#include <string_view>
#include <vector>

#include "core/margin.h"

namespace headroom {

// Words set off from the rest: bold (a title) or underlined (a state) where the terminal wants it, plain elsewhere. The marks
// are Unicode noncharacters, which are meant for such use inside a program; they take no width, and print() sees to them.
[[nodiscard]] std::string strong(std::string_view text);
[[nodiscard]] std::string underlined(std::string_view text);
// Marks to the terminal's own codes (ECMA-48, SGR 1, 4, 0), or to nothing; those of core/typed.h always to nothing.
[[nodiscard]] std::string with_marks(std::string_view text, bool terminal_wants_them);

// Characters a reader sees: code points of UTF-8 but the marks, not bytes.
[[nodiscard]] std::size_t shown_width(std::string_view text);
// `text` wrapped at spaces to `width` columns, each line indented by `indent` spaces, the first by `first_indent`.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t width, std::size_t indent = 0,
                                  std::size_t first_indent = std::string::npos);
// `left` at the left edge and `right` at the right one; on two lines when both do not fit.
[[nodiscard]] std::string row(std::string_view left, std::string_view right, std::size_t width);
// The interval of left/need against the limit line, in plain ASCII: '|' the limit, '=' the 5-95 % interval, 'o' its
// middle, '#' the part of it that is past the limit, '.' when it is unknown, '>' or '<' when it goes on outside.
[[nodiscard]] std::string limit_line(const Margin& margin, std::size_t width);
// Characters that would steer a terminal are replaced by '?': names and notes come from files of others.
[[nodiscard]] std::string harmless(std::string_view text);

}  // namespace headroom

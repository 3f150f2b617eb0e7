#pragma once
// Words inside an SVG document, for those who hear a drawing or search in it: cairo draws letters as outlines.
#include <string>
#include <string_view>

namespace headroom {

// Text as XML 1.0 takes it: its five signs escaped, control characters it does not allow left out.
[[nodiscard]] std::string xml_escaped(std::string_view text);
// cairo numbers its surfaces through the life of a process; nothing refers to them, and without them the same drawing is the
// same bytes.
[[nodiscard]] std::string without_surface_ids(std::string svg);
// The document with <title> and <desc> as the first children of its root. Unchanged where there is no root.
[[nodiscard]] std::string with_words(std::string svg, std::string_view title, std::string_view description);

}  // namespace headroom

#include "adapters/paper/svg_text.h"

namespace headroom {

std::string xml_escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&apos;";
        break;
      default:
        if (static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n' || c == '\r') out += c;
    }
  }
  return out;
}

std::string without_surface_ids(std::string svg) {
  constexpr std::string_view kStart = " id=\"surface";
  for (auto at = svg.find(kStart); at != std::string::npos; at = svg.find(kStart, at)) {
    const auto quote = svg.find('"', at + kStart.size());
    if (quote == std::string::npos) break;
    svg.erase(at, quote + 1 - at);
  }
  return svg;
}

std::string with_words(std::string svg, std::string_view title, std::string_view description) {
  const auto root = svg.find("<svg");
  const auto end = root == std::string::npos ? root : svg.find('>', root);
  if (end == std::string::npos) return svg;
  svg.insert(end + 1, "\n<title>" + xml_escaped(title) + "</title>\n<desc>" + xml_escaped(description) + "</desc>");
  return svg;
}

}  // namespace headroom

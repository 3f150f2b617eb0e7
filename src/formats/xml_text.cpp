#include "formats/xml_text.h"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <cmath>

namespace headroom::xml {

std::string_view trimmed(std::string_view s) {
  constexpr std::string_view kBlanks = " \t\r\n";
  const auto first = s.find_first_not_of(kBlanks);
  if (first == std::string_view::npos) return {};
  return s.substr(first, s.find_last_not_of(kBlanks) - first + 1);
}
std::string_view local_name(const pugi::xml_node& node) {
  const std::string_view name = node.name();
  const auto colon = name.find(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}
pugi::xml_node child_named(const pugi::xml_node& parent, std::string_view name) {
  for (const pugi::xml_node& child : parent.children())
    if (local_name(child) == name) return child;
  return {};
}
std::string_view text_of(const pugi::xml_node& node) {
  return trimmed(node.text().get());
}
pugi::xml_node next_in(const pugi::xml_node& from, const pugi::xml_node& within) {
  if (from.first_child()) return from.first_child();
  pugi::xml_node node = from;
  while (node && node != within && !node.next_sibling()) node = node.parent();
  return node == within ? pugi::xml_node{} : node.next_sibling();
}

std::optional<double> number_of(std::string_view text) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [stop, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || stop != text.data() + text.size() || text.empty() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<UtcTime> time_of(std::string_view text) {
  if (const auto t = parse_rfc3339(text)) return t;
  if (text.size() < 19 || text.size() > 40) return std::nullopt;
  return parse_rfc3339(std::string(text) + "Z");
}

Document::Document(std::string_view source, WarningList& warnings) : source_(source) {
  if (source_.size() > kLargest) {
    warnings.add(WarningCode::bad_xml, 0, [] { return fmt::format("larger than {} MiB: not read", kLargest >> 20U); });
    return;
  }
  // The library recurses nowhere, expands no entities of the file's own and keeps the tree up to the first fault.
  const auto result = document_.load_buffer(source_.data(), source_.size(), pugi::parse_default, pugi::encoding_utf8);
  if (result) return;
  broken_ = true;
  break_offset_ = std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(result.offset, 0)), source_.size());
  warnings.add(WarningCode::bad_xml, line_at(break_offset_),
               [&] { return fmt::format("the XML breaks here ({}): what stands before is kept", result.description()); });
}

bool Document::is_unfinished(const pugi::xml_node& node) const {
  if (!broken_) return false;
  const auto begin = std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(node.offset_debug(), 0)), break_offset_);
  // The library's offset may point at the last byte that it took.
  const std::string_view written = source_.substr(begin, break_offset_ + 1 - begin);
  const auto tag_end = written.find('>');
  if (tag_end == std::string_view::npos) return true;
  if (tag_end > 0 && written[tag_end - 1] == '/') return false;
  const auto closed = written.find(fmt::format("</{}", node.name()));
  return closed == std::string_view::npos || written.find('>', closed) == std::string_view::npos;
}

std::uint32_t Document::line_of(const pugi::xml_node& node) {
  return line_at(static_cast<std::size_t>(std::max<std::ptrdiff_t>(node.offset_debug(), 0)));
}

Document::Elements Document::count_elements(WarningList& warnings) {
  Elements count;
  for (pugi::xml_node node = document_.first_child(); node; node = next_in(node, document_))
    if (node.type() == pugi::node_element) ++count.read;
  if (!broken_) return count;
  for (std::size_t at = break_offset_; at + 1 < source_.size(); ++at) {
    const char next = source_[at + 1];
    if (source_[at] != '<' || !((next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z') || next == '_')) continue;
    ++count.lost;
    warnings.drop(WarningCode::bad_xml, line_at(at), [] { return "an element after the break: dropped"; });
  }
  return count;
}

// Offsets may come in any order; a step back counts anew.
std::uint32_t Document::line_at(std::size_t offset) {
  offset = std::min(offset, source_.size());
  if (offset < counted_to_) {
    counted_to_ = 0;
    counted_lines_ = 1;
  }
  counted_lines_ += static_cast<std::uint32_t>(std::count(source_.begin() + static_cast<std::ptrdiff_t>(counted_to_),
                                                          source_.begin() + static_cast<std::ptrdiff_t>(offset), '\n'));
  counted_to_ = offset;
  return counted_lines_;
}

}  // namespace headroom::xml

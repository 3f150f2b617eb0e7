#pragma once
// What the readers of XML recordings share: names without prefixes, plain values, and an account of the elements of a
// document that may break off.
#include <cstdint>
#include <optional>
#include <pugixml.hpp>
#include <string_view>

#include "core/time.h"
#include "formats/warning_list.h"

namespace headroom::xml {

[[nodiscard]] std::string_view trimmed(std::string_view text);
[[nodiscard]] std::string_view local_name(const pugi::xml_node& node);
[[nodiscard]] pugi::xml_node child_named(const pugi::xml_node& parent, std::string_view name);
[[nodiscard]] std::string_view text_of(const pugi::xml_node& node);
// The next node of `within` in document order; an empty node at its end.
[[nodiscard]] pugi::xml_node next_in(const pugi::xml_node& node, const pugi::xml_node& within);

// A finite decimal number, all of the text.
[[nodiscard]] std::optional<double> number_of(std::string_view text);
// xsd:dateTime; without a zone it is taken for UTC.
[[nodiscard]] std::optional<UtcTime> time_of(std::string_view text);

// A document whose tree is kept up to the first fault. `source` must outlive it.
class Document {
 public:
  static constexpr std::size_t kLargest = std::size_t{256} << 20U;

  // Warning 17 when the XML breaks or is larger than kLargest.
  Document(std::string_view source, WarningList& warnings);

  [[nodiscard]] const pugi::xml_node& root() const { return document_; }
  // Whether the break fell within this element, so that its text may be cut.
  [[nodiscard]] bool is_unfinished(const pugi::xml_node& node) const;
  [[nodiscard]] std::uint32_t line_of(const pugi::xml_node& node);
  // All elements, those beyond the break included; those are dropped with warning 17.
  struct Elements {
    std::uint64_t read = 0, lost = 0;
  };
  [[nodiscard]] Elements count_elements(WarningList& warnings);

 private:
  std::uint32_t line_at(std::size_t offset);

  std::string_view source_;
  pugi::xml_document document_;
  bool broken_ = false;
  std::size_t break_offset_ = 0;
  std::size_t counted_to_ = 0;
  std::uint32_t counted_lines_ = 1;
};

}  // namespace headroom::xml

#include "cli/kind_words.h"

namespace headroom {

namespace {

constexpr std::pair<std::string_view, EntryKind> kWords[] = {
    {"flight", EntryKind::flight},
    {"recording", EntryKind::recording_attached},
    {"remeasured", EntryKind::remeasured},
    {"hours", EntryKind::counter_read},
    {"head", EntryKind::reading},
    {"reading", EntryKind::reading},
    {"plug", EntryKind::plug_read},
    {"mixed", EntryKind::fuel_mixed},
    {"filled", EntryKind::fuel_filled},
    {"left", EntryKind::fuel_left},
    {"service", EntryKind::service_done},
    {"service-line", EntryKind::service_line_set},
    {"finding", EntryKind::finding},
    {"closed", EntryKind::finding_closed},
    {"alteration", EntryKind::alteration},
    {"drill", EntryKind::drill_practised},
    {"take-off-run", EntryKind::run_measured},
    {"spent", EntryKind::money_spent},
    {"note", EntryKind::note},
    {"run", EntryKind::engine_run},
    {"handling", EntryKind::ground_handling},
    {"machine", EntryKind::machine_registered},
    {"pilot", EntryKind::pilot_registered},
    {"part", EntryKind::part_registered},
    {"fitted", EntryKind::part_fitted},
    {"removed", EntryKind::part_removed},
    {"field", EntryKind::field_described},
    {"check", EntryKind::check_done},
    {"setting", EntryKind::setting},
    {"photo", EntryKind::photo_attached},
    {"amended", EntryKind::amended},
    {"voided", EntryKind::voided},
};

bool is_head(const PlainFacts* facts) {
  const auto* reading = facts == nullptr ? nullptr : std::get_if<Reading>(facts);
  return reading != nullptr && reading->quantity == "head_maximum";
}

}  // namespace

std::string kind_words() {
  std::string out;
  for (const auto& [word, kind] : kWords) (out += out.empty() ? "" : "|") += word;
  return out;
}

bool is_kind_word(std::string_view word) {
  for (const auto& [known, kind] : kWords)
    if (known == word) return true;
  return kind_from_name(word) != EntryKind::unknown;
}

bool is_of_kind(std::string_view word, const EntryHeader& header, const PlainFacts* facts) {
  if (header.kind_text == word) return true;
  for (const auto& [known, kind] : kWords)
    if (known == word && kind == header.kind) return word != "head" || is_head(facts);
  return false;
}

std::string kind_word(const EntryHeader& header, const PlainFacts* facts) {
  if (header.kind == EntryKind::reading) return is_head(facts) ? "head" : "reading";
  for (const auto& [word, kind] : kWords)
    if (kind == header.kind) return std::string(word);
  return header.kind_text;
}

}  // namespace headroom

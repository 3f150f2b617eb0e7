#include "core/book/entry.h"

#include <algorithm>

namespace headroom {

namespace {

constexpr char kHex[] = "0123456789abcdef";

// The value of each hex digit, 255 for every other byte: a table, because a large book has millions of digits to read.
constexpr auto kHexValues = [] {
  std::array<std::uint8_t, 256> values{};
  values.fill(255);
  for (std::uint8_t i = 0; i < 16; ++i) values[static_cast<unsigned char>(kHex[i])] = i;
  return values;
}();

// Two digits a byte; false if any of them is no digit.
bool from_hex(const char* text, std::uint8_t* into, std::size_t bytes) {
  unsigned seen = 0;
  for (std::size_t i = 0; i < bytes; ++i) {
    const unsigned high = kHexValues[static_cast<unsigned char>(text[2 * i])];
    const unsigned low = kHexValues[static_cast<unsigned char>(text[2 * i + 1])];
    seen |= high | low;
    into[i] = static_cast<std::uint8_t>((high << 4) | low);
  }
  return seen < 16;
}

struct KindName {
  EntryKind kind;
  std::string_view name;
};
constexpr KindName kKindNames[] = {
    {EntryKind::machine_registered, "machine_registered"},
    {EntryKind::part_registered, "part_registered"},
    {EntryKind::pilot_registered, "pilot_registered"},
    {EntryKind::part_fitted, "part_fitted"},
    {EntryKind::part_removed, "part_removed"},
    {EntryKind::service_line_set, "service_line_set"},
    {EntryKind::service_done, "service_done"},
    {EntryKind::counter_read, "counter_read"},
    {EntryKind::reading, "reading"},
    {EntryKind::plug_read, "plug_read"},
    {EntryKind::recording_attached, "recording_attached"},
    {EntryKind::flight, "flight"},
    {EntryKind::remeasured, "remeasured"},
    {EntryKind::engine_run, "engine_run"},
    {EntryKind::ground_handling, "ground_handling"},
    {EntryKind::fuel_mixed, "fuel_mixed"},
    {EntryKind::fuel_filled, "fuel_filled"},
    {EntryKind::fuel_left, "fuel_left"},
    {EntryKind::finding, "finding"},
    {EntryKind::finding_closed, "finding_closed"},
    {EntryKind::alteration, "alteration"},
    {EntryKind::money_spent, "money_spent"},
    {EntryKind::drill_practised, "drill_practised"},
    {EntryKind::run_measured, "run_measured"},
    {EntryKind::field_described, "field_described"},
    {EntryKind::check_done, "check_done"},
    {EntryKind::setting, "setting"},
    {EntryKind::note, "note"},
    {EntryKind::photo_attached, "photo_attached"},
    {EntryKind::amended, "amended"},
    {EntryKind::voided, "voided"},
};

}  // namespace

std::string_view kind_name(EntryKind kind) {
  for (const auto& k : kKindNames)
    if (k.kind == kind) return k.name;
  return "unknown";
}

EntryKind kind_from_name(std::string_view name) {
  for (const auto& k : kKindNames)
    if (k.name == name) return k.kind;
  return EntryKind::unknown;
}

std::string EntryId::text() const {
  std::string out;
  out.reserve(36);
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    if (i == 4 || i == 6 || i == 8 || i == 10) out += '-';
    out += kHex[bytes[i] >> 4];
    out += kHex[bytes[i] & 15];
  }
  return out;
}

std::optional<EntryId> EntryId::parse(std::string_view text) {
  if (text.size() != 36) return std::nullopt;
  if (text[8] != '-' || text[13] != '-' || text[18] != '-' || text[23] != '-') return std::nullopt;
  EntryId id;
  const char* t = text.data();
  std::uint8_t* into = id.bytes.data();
  if (!from_hex(t, into, 4) || !from_hex(t + 9, into + 4, 2) || !from_hex(t + 14, into + 6, 2) ||
      !from_hex(t + 19, into + 8, 2) || !from_hex(t + 24, into + 10, 6))
    return std::nullopt;
  return id;
}

EntryId EntryId::make(UtcTime now, const std::array<std::uint8_t, 10>& random) {
  EntryId id;
  const auto ms = static_cast<std::uint64_t>(now.time_since_epoch().count());
  for (std::size_t i = 0; i < 6; ++i) id.bytes[i] = static_cast<std::uint8_t>(ms >> (40 - 8 * i));
  std::copy(random.begin(), random.end(), id.bytes.begin() + 6);
  id.bytes[6] = static_cast<std::uint8_t>((id.bytes[6] & 0x0f) | 0x70);
  id.bytes[8] = static_cast<std::uint8_t>((id.bytes[8] & 0x3f) | 0x80);
  return id;
}

std::string Hash::text() const {
  std::string out;
  out.reserve(64);
  for (const auto b : bytes) {
    out += kHex[b >> 4];
    out += kHex[b & 15];
  }
  return out;
}

std::optional<Hash> Hash::parse(std::string_view text) {
  if (text.size() != 64) return std::nullopt;
  Hash hash;
  if (!from_hex(text.data(), hash.bytes.data(), hash.bytes.size())) return std::nullopt;
  return hash;
}

}  // namespace headroom

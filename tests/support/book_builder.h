#pragma once
// Decoded entries for tests of the fold and of what is built on it, without bytes or hashes of real content.
#include <vector>

#include "core/book/fold.h"
#include "core/machine/default_machine.h"

namespace headroom::testing {

class BookBuilder {
 public:
  explicit BookBuilder(std::uint8_t writer = 1) { writer_.bytes[0] = writer; }

  // Appends an entry that happened at `at` and was written then, or at `written`.
  EntryId add(UtcTime at, Facts facts, EntryKind kind = EntryKind::note, std::optional<UtcTime> written = {}) {
    Entry e;
    ++number_;
    e.header.writer = writer_;
    e.header.number = number_;
    e.header.at = at;
    e.header.written = written.value_or(at);
    e.header.kind = kind;
    e.header.id = next_id(e.header.written);
    e.header.before = before_;
    for (std::size_t i = 0; i < 16; ++i) e.hash.bytes[i] = e.header.id.bytes[i];
    e.hash.bytes[31] = writer_.bytes[0];
    before_ = e.hash;
    e.facts = std::move(facts);
    entries.push_back(e);
    return e.header.id;
  }
  template <class F>
  EntryId say(UtcTime at, F facts) {
    return add(at, PlainFacts(std::move(facts)));
  }
  EntryId amend(UtcTime written, EntryId of, PlainFacts facts, std::optional<UtcTime> at = {}) {
    return add(written, Amended{of, "wrong", at, {}, std::move(facts)});
  }
  EntryId void_entry(UtcTime written, EntryId of, std::string reason = "wrong") {
    return add(written, PlainFacts(Voided{of, std::move(reason)}));
  }

  // The owner's own machine with one part of each role, all new unless `part` says otherwise.
  void own_machine(UtcTime at) {
    machine = say(at, MachineRegistered{});
    pilot = say(at, PilotRegistered{});
    for (const auto role : kDefaultRoles) {
      PartRegistered part;
      part.role = std::string(role);
      part.running_before = part.air_before = part.ground_handling_before = Duration{};
      part.launches_before = 0;
      part.made = part.bought = at;
      parts.push_back(say(at, part));
      say(at, PartFitted{parts.back(), machine});
    }
  }
  void assumed_machine(UtcTime at) {
    std::vector<EntryId> ids(kDefaultIdCount);
    for (auto& id : ids) id = next_id(at);
    machine = ids[0];
    pilot = ids[1];
    parts.assign(ids.begin() + 2, ids.end());
    for (auto& draft : default_machine(ids)) {
      const auto id = add(at, draft.facts);
      if (draft.id != EntryId{}) entries.back().header.id = draft.id;
      (void)id;
    }
  }
  FlightEntry flight_of(UtcTime launch, Duration air) const {
    FlightEntry f;
    f.machine = machine;
    f.pilot = pilot;
    f.launch = launch;
    f.landing = shifted(launch, air);
    f.air_time = air;
    return f;
  }
  EntryId fly(UtcTime launch, Duration air) { return say(launch, flight_of(launch, air)); }

  [[nodiscard]] State folded() const { return fold(entries); }
  [[nodiscard]] const EntryId& part(std::string_view role) const {
    for (std::size_t i = 0; i < kDefaultPartCount; ++i)
      if (kDefaultRoles[i] == role) return parts.at(i);
    return parts.at(0);
  }

  std::vector<Entry> entries;
  EntryId machine, pilot;
  std::vector<EntryId> parts;  // in the order of kDefaultRoles

 private:
  EntryId next_id(UtcTime t) {
    ++count_;
    return EntryId::make(
        t, {writer_.bytes[0], 0, 0, 0, 0, 0, static_cast<std::uint8_t>(count_ >> 24), static_cast<std::uint8_t>(count_ >> 16),
            static_cast<std::uint8_t>(count_ >> 8), static_cast<std::uint8_t>(count_)});
  }
  WriterId writer_;
  std::uint64_t number_ = 0;
  std::uint32_t count_ = 0;
  Hash before_;
};

}  // namespace headroom::testing

#include "formats/state_snapshot.h"

#include <bit>
#include <cstring>
#include <type_traits>

namespace headroom {

namespace {

// magic, version, byte order probe, a checksum of the rest; then the key, then the state member by member.
constexpr char kMagic[8] = {'h', 'e', 'a', 'd', 's', 'n', 'a', 'p'};
constexpr std::uint32_t kOrderProbe = 0x01020304;
constexpr std::size_t kPreamble = 8 + 4 + 4 + 8;

// Four-lane multiply-and-rotate sum: finds damage, not malice; the cache is the owner's own file.
std::uint64_t snapshot_checksum(std::string_view bytes) {
  std::uint64_t lanes[4] = {0x9e3779b97f4a7c15U, 0xc2b2ae3d27d4eb4fU, 0x165667b19e3779f9U, 0x27d4eb2f165667c5U};
  std::size_t i = 0;
  for (; i + 32 <= bytes.size(); i += 32)
    for (std::size_t k = 0; k < 4; ++k) {
      std::uint64_t word = 0;
      std::memcpy(&word, bytes.data() + i + 8 * k, 8);
      lanes[k] = std::rotl(lanes[k] ^ word, 29) * 0x9e3779b97f4a7c15U;
    }
  std::uint64_t sum = bytes.size();
  for (const auto lane : lanes) sum = std::rotl(sum ^ lane, 31) * 0xc2b2ae3d27d4eb4fU;
  for (; i < bytes.size(); ++i) sum = std::rotl(sum ^ static_cast<std::uint8_t>(bytes[i]), 11) * 0x165667b19e3779f9U;
  return sum ^ sum >> 29;
}

template <class T>
concept Scalar = std::is_arithmetic_v<T> || std::is_enum_v<T>;

struct SnapshotWriter {
  static constexpr bool reading = false;
  std::string out;
  bool ok = true;
  void raw(const void* data, std::size_t n) { out.append(static_cast<const char*>(data), n); }
};
struct SnapshotReader {
  static constexpr bool reading = true;
  std::string_view in;
  bool ok = true;
  void raw(void* data, std::size_t n) {
    if (n > in.size()) {
      ok = false;
      in = {};
      std::memset(data, 0, n);
      return;
    }
    std::memcpy(data, in.data(), n);
    in.remove_prefix(n);
  }
};

template <class A, class T>
void pass(A& a, T& value);

template <class A, class... T>
void pass_all(A& a, T&... values) {
  (pass(a, values), ...);
}

template <class A>
std::uint64_t pass_size(A& a, std::size_t size) {
  std::uint64_t n = size;
  a.raw(&n, sizeof n);
  if constexpr (A::reading) {
    // Every element takes at least a byte: a count beyond that is damage, and would ask for absurd memory.
    if (n > a.in.size()) {
      a.ok = false;
      n = 0;
    }
  }
  return n;
}

template <class A>
void members(A& a, EntryId& v) {
  a.raw(v.bytes.data(), v.bytes.size());
}
template <class A>
void members(A& a, Hash& v) {
  a.raw(v.bytes.data(), v.bytes.size());
}
template <class A>
void members(A& a, GeoPosition& v) {
  pass_all(a, v.latitude_deg, v.longitude_deg);
}
template <class A>
void members(A& a, Basis& v) {
  pass_all(a, v.kind, v.n);
}
template <class A, class Q>
void members(A& a, Estimate<Q>& v) {
  pass_all(a, v.low, v.mid, v.high, v.basis, v.note);
}
template <class A>
void members(A& a, Amount& v) {
  pass_all(a, v.dimension, v.low, v.mid, v.high, v.basis, v.note);
}
template <class A>
void members(A& a, Sentence& v) {
  pass_all(a, v.text, v.parts);
}
template <class A>
void members(A& a, Counters& v) {
  pass_all(a, v.running, v.air, v.ground_handling, v.launches);
}
template <class A>
void members(A& a, MachineState& v) {
  pass_all(a, v.id, v.at, v.assumed, v.name);
}
template <class A>
void members(A& a, PilotState& v) {
  pass_all(a, v.id, v.at, v.assumed, v.mass, v.name);
}
template <class A>
void members(A& a, Fitted& v) {
  pass_all(a, v.machine, v.from, v.from_before, v.to);
}
template <class A>
void members(A& a, PartState& v) {
  pass_all(a, v.id, v.at, v.role, v.assumed, v.name, v.made, v.bought, v.running_before, v.air_before, v.ground_handling_before,
           v.launches_before, v.fitted, v.in_book, v.life);
}
template <class A>
void members(A& a, FlightState& v) {
  pass_all(a, v.id, v.machine, v.pilot, v.same_as, v.recording, v.launch, v.landing, v.written, v.air_time, v.running_low,
           v.running_mid, v.running_high, v.running_basis, v.offset_min, v.launches, v.analysis_version, v.remeasured_version,
           v.track_length, v.farthest_distance, v.highest, v.begins_in_air, v.ends_in_air, v.counts);
}
template <class A>
void members(A& a, MeasureSample& v) {
  pass_all(a, v.flight, v.kind, v.learnable, v.has_standard, v.low, v.mid, v.high, v.standard_low, v.standard_mid,
           v.standard_high, v.density_ratio, v.headwind_m_s);
}
template <class A>
void members(A& a, ServiceState& v) {
  pass_all(a, v.line, v.part, v.entry, v.at, v.times, v.since);
}
template <class A>
void members(A& a, FindingState& v) {
  pass_all(a, v.id, v.at, v.grounding, v.part, v.text, v.closed, v.closed_by);
}
template <class A>
void members(A& a, Sample& v) {
  pass_all(a, v.entry, v.at, v.value, v.unit, v.part);
}
template <class A>
void members(A& a, PlugState& v) {
  pass_all(a, v.entry, v.at, v.read.colour, v.read.wet, v.read.mixture);
}
template <class A>
void members(A& a, FuelEvent& v) {
  pass_all(a, v.kind, v.entry, v.at, v.volume, v.in_tank_after, v.ratio);
}
template <class A>
void members(A& a, FuelState& v) {
  pass_all(a, v.known_at, v.from_fill_only, v.known, v.added_since, v.running_since);
}
template <class A>
void members(A& a, AlterationState& v) {
  pass_all(a, v.id, v.at, v.area, v.text, v.part);
}
template <class A>
void members(A& a, DrillState& v) {
  pass_all(a, v.entry, v.at, v.drill);
}
template <class A>
void members(A& a, RunState& v) {
  auto& r = v.run;
  pass_all(a, v.entry, v.at, r.machine, r.pilot, r.room, r.steps, r.headwind, r.temperature, r.height, r.slope, r.surface,
           r.all_up, r.wheels, r.private_note);
}
template <class A>
void members(A& a, CheckState& v) {
  pass_all(a, v.entry, v.at, v.check, v.state);
}
template <class A>
void members(A& a, FieldState& v) {
  pass_all(a, v.id, v.at, v.name, v.text, v.height, v.position, v.strips, v.landable, v.photo);
}
template <class A>
void members(A& a, FieldStrip& v) {
  pass_all(a, v.name, v.towards_deg, v.length, v.slope, v.surface, v.obstacles, v.walked);
}
template <class A>
void members(A& a, FieldObstacle& v) {
  pass_all(a, v.kind, v.distance, v.height);
}
template <class A>
void members(A& a, RecordingState& v) {
  pass_all(a, v.hash, v.entry, v.format, v.file_name, v.bytes, v.fixes, v.simulated);
}
template <class A>
void members(A& a, ServiceLineSet& v) {
  pass_all(a, v.line, v.title, v.role, v.running, v.air, v.calendar, v.launches, v.reserve, v.dropped, v.basis);
}
template <class A>
void members(A& a, ServiceLineState& v) {
  pass_all(a, v.entry, v.set);
}
template <class A>
void members(A& a, SettingState& v) {
  pass_all(a, v.entry, v.at, v.value);
}
template <class A>
void members(A& a, Correction& v) {
  pass_all(a, v.by, v.of, v.written, v.voids, v.holds, v.contested, v.reason);
}
template <class A>
void members(A& a, StateWarning& v) {
  pass_all(a, v.kind, v.entry, v.text);
}
template <class A>
void members(A& a, State& v) {
  pass_all(a, v.machines, v.pilots, v.parts, v.flights, v.measures, v.services, v.service_lines, v.findings, v.readings, v.plugs,
           v.fuel, v.tank, v.alterations, v.drills, v.runs, v.checks, v.fields, v.recordings, v.settings, v.money_cents,
           v.money_entries, v.notes, v.photos, v.entries, v.corrections, v.warnings, v.machine, v.pilot, v.first_at, v.last_at);
}

template <class T>
struct IsVector : std::false_type {};
template <class T>
struct IsVector<std::vector<T>> : std::true_type {};
template <class T>
struct IsOptional : std::false_type {};
template <class T>
struct IsOptional<std::optional<T>> : std::true_type {};
template <class T>
struct IsMap : std::false_type {};
template <class K, class V>
struct IsMap<std::map<K, V>> : std::true_type {};

template <class T>
concept HasSi = requires(const T& t) {
  { T::from_si(t.si()) } -> std::same_as<T>;
};

template <class A, class T>
void pass(A& a, T& value) {
  if constexpr (std::is_same_v<T, bool>) {
    std::uint8_t byte = value ? 1 : 0;
    a.raw(&byte, 1);
    if constexpr (A::reading) value = byte != 0;
  } else if constexpr (Scalar<T>) {
    a.raw(&value, sizeof value);
  } else if constexpr (HasSi<T>) {
    double si = value.si();
    a.raw(&si, sizeof si);
    if constexpr (A::reading) value = T::from_si(si);
  } else if constexpr (std::is_same_v<T, UtcTime>) {
    std::int64_t ms = value.time_since_epoch().count();
    a.raw(&ms, sizeof ms);
    if constexpr (A::reading) value = UtcTime(std::chrono::milliseconds(ms));
  } else if constexpr (std::is_same_v<T, std::string>) {
    const auto n = pass_size(a, value.size());
    if constexpr (A::reading) {
      value.assign(a.in.substr(0, n));
      a.in.remove_prefix(n);
    } else {
      a.raw(value.data(), value.size());
    }
  } else if constexpr (IsOptional<T>::value) {
    bool has = value.has_value();
    pass(a, has);
    if constexpr (A::reading) {
      if (has)
        value.emplace();
      else
        value.reset();
    }
    if (has) pass(a, *value);
  } else if constexpr (IsVector<T>::value) {
    const auto n = pass_size(a, value.size());
    if constexpr (A::reading) {
      value.reserve(n);
      for (std::uint64_t i = 0; i < n && a.ok; ++i) pass(a, value.emplace_back());
    } else {
      for (auto& item : value) pass(a, item);
    }
  } else if constexpr (IsMap<T>::value) {
    const auto n = pass_size(a, value.size());
    if constexpr (A::reading) {
      for (std::uint64_t i = 0; i < n && a.ok; ++i) {
        typename T::key_type key;
        pass(a, key);
        pass(a, value[key]);
      }
    } else {
      for (auto& [key, item] : value) {
        auto copy = key;
        pass(a, copy);
        pass(a, item);
      }
    }
  } else if constexpr (std::is_same_v<T, Sentence::Part>) {
    bool words = std::holds_alternative<std::string>(value);
    pass(a, words);
    if constexpr (A::reading) {
      if (words)
        value = std::string();
      else
        value = Amount();
    }
    if (words)
      pass(a, std::get<std::string>(value));
    else
      pass(a, std::get<Amount>(value));
  } else {
    members(a, value);
  }
}

}  // namespace

std::string encode_snapshot(const State& state, std::string_view key) {
  SnapshotWriter a;
  a.out.reserve(4096 + state.flights.size() * 256 + state.measures.size() * 40);
  a.raw(kMagic, sizeof kMagic);
  std::uint32_t version = kSnapshotVersion, probe = kOrderProbe;
  pass_all(a, version, probe);
  std::uint64_t sum = 0;
  pass(a, sum);
  std::string key_text(key);
  pass(a, key_text);
  pass(a, const_cast<State&>(state));  // the one list of members serves both ways; writing changes nothing
  sum = snapshot_checksum(std::string_view(a.out).substr(kPreamble));
  std::memcpy(a.out.data() + 16, &sum, sizeof sum);
  return std::move(a.out);
}

std::optional<State> decode_snapshot(std::string_view bytes, std::string_view key) {
  if (bytes.size() < kPreamble || std::memcmp(bytes.data(), kMagic, sizeof kMagic) != 0) return std::nullopt;
  SnapshotReader a{bytes.substr(sizeof kMagic)};
  std::uint32_t version = 0, probe = 0;
  std::uint64_t sum = 0;
  pass_all(a, version, probe, sum);
  if (version != kSnapshotVersion || probe != kOrderProbe || sum != snapshot_checksum(a.in)) return std::nullopt;
  std::string key_text;
  pass(a, key_text);
  if (!a.ok || key_text != key) return std::nullopt;
  std::optional<State> state(std::in_place);
  pass(a, *state);
  if (!a.ok || !a.in.empty()) return std::nullopt;
  return state;
}

}  // namespace headroom

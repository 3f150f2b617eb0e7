#include "formats/entry_json.h"

#include <cstring>
#include <limits>
#include <tuple>
#include <type_traits>
#include <utility>

#include "formats/entry_members.h"
#include "formats/hash.h"
#include "formats/json_cursor.h"

namespace headroom {

namespace {

enum class Part : std::uint8_t { facts, private_part };

template <class T>
struct KindOf;
#define HEADROOM_KIND(kind, Type)                       \
  template <>                                           \
  struct KindOf<Type> {                                 \
    static constexpr EntryKind value = EntryKind::kind; \
  };
HEADROOM_KIND(machine_registered, MachineRegistered)
HEADROOM_KIND(part_registered, PartRegistered)
HEADROOM_KIND(pilot_registered, PilotRegistered)
HEADROOM_KIND(part_fitted, PartFitted)
HEADROOM_KIND(part_removed, PartRemoved)
HEADROOM_KIND(service_line_set, ServiceLineSet)
HEADROOM_KIND(service_done, ServiceDone)
HEADROOM_KIND(counter_read, CounterRead)
HEADROOM_KIND(reading, Reading)
HEADROOM_KIND(plug_read, PlugRead)
HEADROOM_KIND(recording_attached, RecordingAttached)
HEADROOM_KIND(flight, FlightEntry)
HEADROOM_KIND(remeasured, Remeasured)
HEADROOM_KIND(engine_run, EngineRun)
HEADROOM_KIND(ground_handling, GroundHandling)
HEADROOM_KIND(fuel_mixed, FuelMixed)
HEADROOM_KIND(fuel_filled, FuelFilled)
HEADROOM_KIND(fuel_left, FuelLeft)
HEADROOM_KIND(finding, Finding)
HEADROOM_KIND(finding_closed, FindingClosed)
HEADROOM_KIND(alteration, Alteration)
HEADROOM_KIND(money_spent, MoneySpent)
HEADROOM_KIND(drill_practised, DrillPractised)
HEADROOM_KIND(run_measured, RunMeasured)
HEADROOM_KIND(field_described, FieldDescribed)
HEADROOM_KIND(check_done, CheckDone)
HEADROOM_KIND(setting, Setting)
HEADROOM_KIND(note, Note)
HEADROOM_KIND(photo_attached, PhotoAttached)
HEADROOM_KIND(voided, Voided)
HEADROOM_KIND(unknown, UnknownFacts)
#undef HEADROOM_KIND

constexpr std::pair<Counter, std::string_view> kCounterNames[] = {{Counter::running, "running"},
                                                                  {Counter::air, "air"},
                                                                  {Counter::ground_handling, "ground_handling"},
                                                                  {Counter::launches, "launches"}};
constexpr std::pair<PlugColour, std::string_view> kColourNames[] = {{PlugColour::white, "white"},
                                                                    {PlugColour::pale, "pale"},
                                                                    {PlugColour::tan, "tan"},
                                                                    {PlugColour::dark, "dark"},
                                                                    {PlugColour::black, "black"}};
// The words of a surface or obstacle with "_" for the space.
constexpr std::pair<FieldSurface, std::string_view> kSurfaceNames[] = {{FieldSurface::unsaid, "unsaid"},
                                                                       {FieldSurface::short_grass, "short_grass"},
                                                                       {FieldSurface::long_grass, "long_grass"},
                                                                       {FieldSurface::hard, "hard"},
                                                                       {FieldSurface::sand, "sand"},
                                                                       {FieldSurface::stones, "stones"},
                                                                       {FieldSurface::stubble, "stubble"}};
constexpr std::pair<Surface, std::string_view> kGroundNames[] = {{Surface::firm, "firm"},
                                                                 {Surface::dry_grass, "dry_grass"},
                                                                 {Surface::wet_grass, "wet_grass"},
                                                                 {Surface::soft_or_snow, "soft_or_snow"}};
constexpr std::pair<ObstacleKind, std::string_view> kObstacleNames[] = {
    {ObstacleKind::trees, "trees"},       {ObstacleKind::hedge, "hedge"}, {ObstacleKind::wires, "wires"},
    {ObstacleKind::building, "building"}, {ObstacleKind::fence, "fence"}, {ObstacleKind::crop, "crop"},
    {ObstacleKind::other, "other"}};
constexpr std::pair<PlugMixture, std::string_view> kMixtureNames[] = {
    {PlugMixture::unsaid, "unsaid"}, {PlugMixture::lean, "lean"}, {PlugMixture::right, "right"}, {PlugMixture::rich, "rich"}};
constexpr std::pair<BasisKind, std::string_view> kBasisNames[] = {{BasisKind::unknown, "unknown"},
                                                                  {BasisKind::assumed, "assumed"},
                                                                  {BasisKind::learned, "learned"},
                                                                  {BasisKind::measured, "measured"}};
constexpr const auto& names_of(Counter) {
  return kCounterNames;
}
constexpr const auto& names_of(PlugColour) {
  return kColourNames;
}
constexpr const auto& names_of(FieldSurface) {
  return kSurfaceNames;
}
constexpr const auto& names_of(Surface) {
  return kGroundNames;
}
constexpr const auto& names_of(ObstacleKind) {
  return kObstacleNames;
}
constexpr const auto& names_of(PlugMixture) {
  return kMixtureNames;
}
constexpr const auto& names_of(BasisKind) {
  return kBasisNames;
}

template <class T>
concept HasSi = requires(const T& x) {
  { x.si() } -> std::same_as<double>;
  T::from_si(1.0);
};

bool writable(UtcTime t) {
  return t >= utc(0, 1, 1) && t < utc(9999, 12, 31, 23, 59, 59, 999);
}

std::string hex_text(const Salt& salt) {
  constexpr char hex[] = "0123456789abcdef";
  std::string out;
  for (const auto b : salt) {
    out += hex[b >> 4];
    out += hex[b & 15];
  }
  return out;
}

// The unit of a measure, as it stands beside its figures.
std::string_view measure_unit(MeasureKind kind) {
  switch (measure_dimension(kind)) {
    case Dimension::length:
      return "m";
    case Dimension::speed:
    case Dimension::climb:
      return "m/s";
    case Dimension::duration:
      return "s";
    case Dimension::angle:
      return "rad";
    case Dimension::turn_rate:
      return "rad/s";
    default:
      return "1";
  }
}

// ---- values to bytes

class MemberWriter {
 public:
  MemberWriter(JsonText& out, Part part) : out_(out), part_(part) {}

  template <class T>
  void need(std::string_view name, const T& x) {
    if (part_ == Part::facts) put(name, x);
  }
  template <class T>
  void fact(std::string_view name, const T& x) {
    if (part_ == Part::facts && !empty(x)) put(name, x);
  }
  template <class T>
  void priv(std::string_view name, const T& x) {
    if (part_ == Part::private_part && !empty(x)) put(name, x);
  }
  void priv_when(bool flag, std::string_view name, const GeoPosition& x) {
    if (part_ == Part::private_part && flag) put(name, x);
  }
  void group(std::string_view name, FlightSummary& x) {
    if (part_ != Part::facts) return;
    out_.key(name);
    out_.open_object();
    members::members(*this, x);
    out_.close_object();
  }
  void warnings(const std::vector<Warning>& list) {
    if (list.empty()) return;
    out_.key(part_ == Part::facts ? "warnings" : "warning_texts");
    out_.open_array();
    for (const auto& w : list) {
      if (part_ == Part::private_part) {
        out_.value(w.text);
        continue;
      }
      out_.open_object();
      put("number", static_cast<std::uint64_t>(w.code));
      put("line", std::uint64_t{w.line});
      out_.close_object();
    }
    out_.close_array();
  }
  void reject(std::string_view) {}
  [[nodiscard]] bool times_ok() const { return times_ok_; }
  [[nodiscard]] bool spreads_ok() const { return spreads_ok_; }

  template <class T>
  void put(std::string_view name, const T& x) {
    out_.key(name);
    value(x);
  }

 private:
  template <class T>
  static bool empty(const T& x) {
    if constexpr (std::is_same_v<T, std::string> || std::is_same_v<T, std::vector<std::string>> ||
                  std::is_same_v<T, std::vector<FieldStrip>> || std::is_same_v<T, std::vector<FlightMeasure>>)
      return x.empty();
    else if constexpr (std::is_same_v<T, EntryId> || std::is_same_v<T, Hash> || std::is_same_v<T, GeoPosition>)
      return x == T{};
    else if constexpr (requires { x.has_value(); })
      return !x.has_value();
    else
      return false;
  }

  void value(bool x) { out_.value(x); }
  void value(int x) { out_.value(static_cast<std::int64_t>(x)); }
  void value(std::int64_t x) { out_.value(x); }
  void value(std::uint64_t x) { out_.value(x); }
  void value(double x) { out_.value(x); }
  void value(const std::string& x) { out_.value(std::string_view(x)); }
  void value(std::string_view x) { out_.value(x); }
  void value(const EntryId& x) { out_.value(std::string_view(x.text())); }
  void value(const Hash& x) { out_.value(std::string_view(x.text())); }
  void value(UtcTime x) {
    times_ok_ = times_ok_ && writable(x);
    out_.value(std::string_view(rfc3339(x)));
  }
  template <HasSi T>
  void value(const T& x) {
    out_.value(x.si());
  }
  template <class E>
  requires std::is_enum_v<E>
  void value(E x) {
    for (const auto& [v, name] : names_of(E{}))
      if (v == x) return out_.value(name);
    out_.value(names_of(E{})[0].second);
  }
  template <class T>
  void value(const std::optional<T>& x) {
    value(*x);
  }
  void value(const std::vector<std::string>& x) {
    out_.open_array();
    for (const auto& s : x) out_.value(std::string_view(s));
    out_.close_array();
  }
  void value(const GeoPosition& x) {
    out_.open_object();
    put("latitude_deg", x.latitude_deg);
    put("longitude_deg", x.longitude_deg);
    out_.close_object();
  }
  void value(const std::vector<FieldStrip>& x) {
    out_.open_array();
    for (const auto& strip : x) {
      out_.open_object();
      put("name", strip.name);
      put("towards_deg", strip.towards_deg);
      put("length_m", strip.length);
      if (strip.slope != 0) put("slope", strip.slope);
      if (strip.surface != FieldSurface::unsaid) put("surface", strip.surface);
      out_.key("obstacles");
      out_.open_array();
      for (const auto& o : strip.obstacles) {
        out_.open_object();
        put("kind", o.kind);
        put("distance_m", o.distance);
        put("height_m", o.height);
        out_.close_object();
      }
      out_.close_array();
      if (strip.walked) put("walked", *strip.walked);
      out_.close_object();
    }
    out_.close_array();
  }
  void value(const Estimate<Duration>& x) {
    out_.open_object();
    put("low_s", x.low);
    put("mid_s", x.mid);
    put("high_s", x.high);
    put("basis", x.basis.kind);
    if (x.basis.n != 0) put("n", x.basis.n);
    if (!x.note.empty()) put("note", x.note);
    out_.close_object();
  }
  void spread(const Amount& x) {
    if (x.known()) {
      spreads_ok_ = spreads_ok_ && x.low <= x.mid && x.mid <= x.high;
      put("low", x.low);
      put("mid", x.mid);
      put("high", x.high);
    }
    put("basis", x.basis.kind);
    if (x.basis.n != 0) put("n", x.basis.n);
    if (!x.note.empty()) put("note", x.note);
  }
  void value(const std::vector<FlightMeasure>& x) {
    out_.open_array();
    for (const auto& m : x) {
      out_.open_object();
      put("key", measure_key(m.kind));
      put("unit", measure_unit(m.kind));
      spread(m.as_flown);
      if (m.standard) {
        out_.key("standard");
        out_.open_object();
        spread(*m.standard);
        out_.close_object();
      }
      if (m.learnable) put("learnable", true);
      if (!m.remark.empty()) put("remark", m.remark);
      spreads_ok_ = spreads_ok_ && !(m.density_ratio < 0);
      if (m.density_ratio != 0) put("density_ratio", m.density_ratio);
      if (m.headwind_m_s != 0) put("headwind_m_s", m.headwind_m_s);
      out_.close_object();
    }
    out_.close_array();
  }

  JsonText& out_;
  Part part_;
  bool times_ok_ = true, spreads_ok_ = true;
};

void write_plain(MemberWriter& writer, PlainFacts& facts) {
  std::visit(
      [&](auto& x) {
        if constexpr (!std::is_same_v<std::decay_t<decltype(x)>, UnknownFacts>) members::members(writer, x);
      },
      facts);
}

// ---- bytes to values

// Reads the members of one part into a value. Members in the order of the form are met in a single pass over the
// schema; any other order is read too, with a pass for each step back.
class MemberReader {
 public:
  MemberReader(JsonCursor& in, Part part) : in_(in), part_(part) {}

  // Reads what is left of an object that was entered.
  template <class T>
  bool read_members(T& x) {
    advance();
    do {
      index_ = 0;
      matched_ = false;
      members::members(*this, x);
      if (have_ && !matched_ && in_.ok()) {
        in_.skip();
        advance();
      }
    } while (have_ && in_.ok());
    if (in_.ok() && (needed_ & ~seen_) != 0) in_.reject("a needed member is missing");
    return in_.ok();
  }

  template <class T>
  void need(std::string_view name, T& x) {
    if (part_ != Part::facts) return;
    needed_ |= std::uint64_t{1} << index_;
    member(name, x);
  }
  template <class T>
  void fact(std::string_view name, T& x) {
    if (part_ == Part::facts) member(name, x);
  }
  template <class T>
  void priv(std::string_view name, T& x) {
    if (part_ == Part::private_part) member(name, x);
  }
  void priv_when(bool& flag, std::string_view name, GeoPosition& x) {
    if (part_ == Part::private_part && member(name, x)) flag = true;
  }
  void group(std::string_view name, FlightSummary& x) {
    if (part_ == Part::facts) member(name, x);
  }
  void warnings(std::vector<Warning>& list) {
    if (part_ == Part::facts) {
      member("warnings", list);
      return;
    }
    std::vector<std::string> texts;
    if (!member("warning_texts", texts)) return;
    // Texts without their numbers (the facts were left out) say nothing by themselves.
    for (std::size_t i = 0; i < texts.size() && i < list.size(); ++i) list[i].text = std::move(texts[i]);
  }
  void reject(std::string_view what) { in_.reject(what); }

  bool value(bool& x) { return in_.read(x); }
  bool value(double& x) { return in_.read(x); }
  bool value(std::int64_t& x) { return in_.read(x); }
  bool value(std::uint64_t& x) { return in_.read(x); }
  bool value(int& x) {
    std::int64_t wide = 0;
    if (!in_.read(wide)) return false;
    if (wide < std::numeric_limits<int>::min() || wide > std::numeric_limits<int>::max()) return in_.reject("a number too large");
    x = static_cast<int>(wide);
    return true;
  }
  bool value(std::string& x) { return in_.read(x); }
  bool value(EntryId& x) {
    return parsed(
        x, [](std::string_view t) { return EntryId::parse(t); }, "an id is needed");
  }
  bool value(Hash& x) {
    return parsed(
        x, [](std::string_view t) { return Hash::parse(t); }, "a SHA-256 in hex is needed");
  }
  bool value(UtcTime& x) {
    return parsed(
        x, [](std::string_view t) { return parse_rfc3339(t); }, "an RFC 3339 time is needed");
  }
  template <HasSi T>
  bool value(T& x) {
    double si = 0;
    if (!in_.read(si)) return false;
    x = T::from_si(si);
    return true;
  }
  template <class E>
  requires std::is_enum_v<E>
  bool value(E& x) {
    std::string_view text;
    if (!in_.read_view(text)) return false;
    for (const auto& [v, name] : names_of(E{}))
      if (name == text) {
        x = v;
        return true;
      }
    return in_.reject("a word that is not one of the kind's");
  }
  template <class T>
  bool value(std::optional<T>& x) {
    return value(x.emplace());
  }
  bool value(std::vector<std::string>& x) {
    x.clear();
    if (!in_.enter_array()) return false;
    while (in_.next_element())
      if (!in_.read(x.emplace_back())) return false;
    return in_.ok();
  }
  bool value(std::vector<Warning>& x) {
    x.clear();
    if (!in_.enter_array()) return false;
    while (in_.next_element()) {
      std::uint64_t number = 0, line = 0;
      object([&](std::string_view key) {
        if (key == "number") return in_.read(number);
        if (key == "line") return in_.read(line);
        return in_.skip();
      });
      if (number > std::numeric_limits<std::uint16_t>::max() || line > std::numeric_limits<std::uint32_t>::max())
        return in_.reject("a number too large");
      x.push_back({static_cast<WarningCode>(number), static_cast<std::uint32_t>(line), {}});
    }
    return in_.ok();
  }
  bool value(GeoPosition& x) {
    int seen = 0;
    object([&](std::string_view key) {
      if (key == "latitude_deg") return ++seen, in_.read(x.latitude_deg);
      if (key == "longitude_deg") return ++seen, in_.read(x.longitude_deg);
      return in_.skip();
    });
    if (!in_.ok()) return false;
    if (seen != 2) return in_.reject("a position needs latitude_deg and longitude_deg");
    if (!(x.latitude_deg >= -90 && x.latitude_deg <= 90 && x.longitude_deg >= -180 && x.longitude_deg <= 180))
      return in_.reject("a position off the earth");
    return true;
  }
  bool value(Estimate<Duration>& x) {
    object([&](std::string_view key) {
      if (key == "low_s") return value(x.low);
      if (key == "mid_s") return value(x.mid);
      if (key == "high_s") return value(x.high);
      if (key == "basis") return value(x.basis.kind);
      if (key == "n") return value(x.basis.n);
      if (key == "note") return in_.read(x.note);
      return in_.skip();
    });
    if (!in_.ok()) return false;
    if (!(x.low <= x.mid && x.mid <= x.high)) return in_.reject("an estimate needs 5 % <= 50 % <= 95 %");
    return true;
  }
  bool value(std::vector<FieldObstacle>& x) {
    x.clear();
    if (!in_.enter_array()) return false;
    while (in_.next_element()) {
      FieldObstacle o;
      object([&](std::string_view key) {
        if (key == "kind") return value(o.kind);
        if (key == "distance_m") return value(o.distance);
        if (key == "height_m") return value(o.height);
        return in_.skip();
      });
      if (!in_.ok()) return false;
      x.push_back(o);
    }
    return in_.ok();
  }
  bool value(std::vector<FieldStrip>& x) {
    x.clear();
    if (!in_.enter_array()) return false;
    while (in_.next_element()) {
      FieldStrip& strip = x.emplace_back();
      object([&](std::string_view key) {
        if (key == "name") return in_.read(strip.name);
        if (key == "towards_deg") return in_.read(strip.towards_deg);
        if (key == "length_m") return value(strip.length);
        if (key == "slope") return in_.read(strip.slope);
        if (key == "surface") return value(strip.surface);
        if (key == "obstacles") return value(strip.obstacles);
        if (key == "walked") return value(strip.walked);
        return in_.skip();
      });
      if (!in_.ok()) return false;
      if (strip_fault(strip)) return in_.reject("a strip that cannot be");
    }
    return in_.ok();
  }
  // One figure of a measure, or of its standard form, among other members.
  bool spread(std::string_view key, Amount& x, unsigned& seen) {
    if (key == "low") return seen |= 1, in_.read(x.low);
    if (key == "mid") return seen |= 2, in_.read(x.mid);
    if (key == "high") return seen |= 4, in_.read(x.high);
    if (key == "basis") return value(x.basis.kind);
    if (key == "n") return value(x.basis.n);
    if (key == "note") return in_.read(x.note);
    return in_.skip();
  }
  bool sound(const Amount& x, unsigned seen) {
    if (!x.known()) return true;
    if (seen != 7) return in_.reject("a measure needs low, mid and high");
    if (!(x.low <= x.mid && x.mid <= x.high)) return in_.reject("an estimate needs 5 % <= 50 % <= 95 %");
    return true;
  }
  bool value(std::vector<FlightMeasure>& x) {
    x.clear();
    if (!in_.enter_array()) return false;
    while (in_.next_element()) {
      auto& m = x.emplace_back();
      std::optional<MeasureKind> kind;
      std::string unit;
      unsigned seen = 0, seen_standard = 0;
      bool has_key = false;
      object([&](std::string_view key) {
        if (key == "key") {
          std::string_view name;
          if (!in_.read_view(name)) return false;
          kind = measure_of_key(name);
          has_key = true;
          return true;
        }
        if (key == "unit") return in_.read(unit);
        if (key == "standard") {
          auto& standard = m.standard.emplace();
          object([&](std::string_view inner) { return spread(inner, standard, seen_standard); });
          return in_.ok();
        }
        if (key == "learnable") return in_.read(m.learnable);
        if (key == "remark") return in_.read(m.remark);
        if (key == "density_ratio") return in_.read(m.density_ratio);
        if (key == "headwind_m_s") return in_.read(m.headwind_m_s);
        return spread(key, m.as_flown, seen);
      });
      if (!in_.ok()) return false;
      if (!has_key) return in_.reject("a measure needs its key");
      if (!kind) {  // of a newer program
        x.pop_back();
        continue;
      }
      m.kind = *kind;
      m.as_flown.dimension = measure_dimension(m.kind);
      if (unit != measure_unit(m.kind)) return in_.reject("a measure in a unit that is not its own");
      if (!sound(m.as_flown, seen)) return false;
      if (m.standard) {
        m.standard->dimension = m.as_flown.dimension;
        if (!sound(*m.standard, seen_standard)) return false;
      }
      if (m.density_ratio < 0) return in_.reject("a density below zero");
    }
    return in_.ok();
  }
  bool value(FlightSummary& x) {
    if (!in_.enter_object()) return false;
    return MemberReader(in_, Part::facts).read_members(x);
  }

 private:
  template <class Each>
  void object(const Each& each) {
    if (!in_.enter_object()) return;
    std::string_view key;
    while (in_.next_key(key))
      if (!each(key)) return;
  }
  template <class T, class Parse>
  bool parsed(T& x, const Parse& parse, std::string_view complaint) {
    std::string_view text;
    if (!in_.read_view(text)) return false;
    const auto result = parse(text);
    if (!result) return in_.reject(complaint);
    x = *result;
    return true;
  }
  void advance() { have_ = in_.next_key(key_); }
  template <class T>
  bool member(std::string_view name, T& x) {
    const auto bit = std::uint64_t{1} << index_++;
    if (!have_ || key_ != name) return false;
    if ((seen_ & bit) != 0) {
      in_.reject("a member that stands there twice");
      return false;
    }
    seen_ |= bit;
    matched_ = true;
    if (!value(x)) return false;
    advance();
    return true;
  }

  JsonCursor& in_;
  Part part_;
  std::string_view key_;
  bool have_ = false, matched_ = false;
  int index_ = 0;
  std::uint64_t seen_ = 0, needed_ = 0;
};

// Enters the part's object and reads the salt, its first member.
bool enter_part(JsonCursor& in) {
  std::string_view key, salt;
  if (!in.enter_object()) return false;
  if (!in.next_key(key)) return in.reject("the salt is missing");
  if (key != "salt") return in.reject("the first member must be the salt");
  if (!in.read_view(salt)) return false;
  if (salt.size() != 32 || salt.find_first_not_of("0123456789abcdef") != std::string_view::npos)
    return in.reject("a salt is 32 hex digits");
  return true;
}

template <std::size_t... I>
bool emplace_by_kind(EntryKind kind, PlainFacts& facts, std::index_sequence<I...>) {
  return ((KindOf<std::variant_alternative_t<I, PlainFacts>>::value == kind ? (facts.emplace<I>(), true) : false) || ...);
}
// Makes `facts` an empty value of the kind; false if no plain kind has that name.
bool emplace_kind(EntryKind kind, PlainFacts& facts) {
  return emplace_by_kind(kind, facts, std::make_index_sequence<std::variant_size_v<PlainFacts>>());
}

bool read_plain(JsonCursor& in, Part part, PlainFacts& facts) {
  return std::visit(
      [&](auto& x) {
        if constexpr (std::is_same_v<std::decay_t<decltype(x)>, UnknownFacts>) {
          std::string_view key;
          while (in.next_key(key))
            if (!in.skip()) return false;
          return in.ok();
        } else {
          return MemberReader(in, part).read_members(x);
        }
      },
      facts);
}

// The members of an amendment, of which "says" holds those of the kind that it amends.
bool read_amended(JsonCursor& in, std::string_view text, Part part, Amended& x) {
  std::string_view key, says;
  bool has_entry = false;
  int version = 0;
  MemberReader reader(in, part);
  while (in.next_key(key)) {
    if (key == "says") {
      const auto from = in.offset();
      if (!in.skip()) return false;
      says = text.substr(from, in.offset() - from);
    } else if (part == Part::private_part) {
      if (!(key == "reason" ? in.read(x.private_reason) : in.skip())) return false;
    } else if (key == "entry") {
      has_entry = true;
      if (!reader.value(x.entry)) return false;
    } else if (key == "at") {
      if (!reader.value(x.at)) return false;
    } else if (key == "kind") {
      std::string_view name;
      if (!in.read_view(name)) return false;
      x.kind = kind_from_name(name);
    } else if (key == "kind_version") {
      if (!reader.value(version)) return false;
    } else if (!in.skip()) {
      return false;
    }
  }
  if (!in.ok()) return false;
  if (part == Part::facts) {
    if (!has_entry) return in.reject("a needed member is missing");
    if (!x.kind || *x.kind == EntryKind::unknown || version > kKindVersion) return true;
    if (says.empty()) return in.reject("an amendment that names a kind needs \"says\"");
    if (!emplace_kind(*x.kind, x.facts)) return in.reject("an amendment cannot say an amendment");
  }
  if (says.empty() || std::holds_alternative<UnknownFacts>(x.facts)) return true;
  JsonCursor inner(says);
  if (!inner.enter_object() || !read_plain(inner, part, x.facts)) return in.reject("what the amendment says cannot be read");
  return true;
}

struct Text {  // the fixed form of a header, read without looking for what cannot be there
  const char* at;
  const char* end;
  bool literal(std::string_view word) {
    if (static_cast<std::size_t>(end - at) < word.size() || std::memcmp(at, word.data(), word.size()) != 0) return false;
    at += word.size();
    return true;
  }
  template <class T>
  bool fixed(std::size_t size, T& into) {
    if (static_cast<std::size_t>(end - at) < size) return false;
    const auto value = T::parse({at, size});
    if (!value) return false;
    into = *value;
    at += size;
    return true;
  }
  // Up to the closing quote; only characters that need no escape.
  bool plain(std::string_view& into) {
    const char* from = at;
    while (at != end && *at != '"' && *at != '\\' && *at >= 0x20 && static_cast<unsigned char>(*at) < 0x80) ++at;
    if (at == end || *at != '"') return false;
    into = {from, static_cast<std::size_t>(at - from)};
    return true;
  }
  template <class N>
  bool whole(N& into) {
    if (at != end && *at == '0' && end - at > 1 && at[1] >= '0' && at[1] <= '9') return false;
    const bool minus = at != end && *at == '-';
    const char* p = at + (minus ? 1 : 0);
    std::int64_t value = 0;
    const char* from = p;
    for (; p != end && *p >= '0' && *p <= '9'; ++p) {
      if (p - from > 17) return false;
      value = value * 10 + (*p - '0');
    }
    if (p == from) return false;
    if (minus) value = -value;
    if (!std::in_range<N>(value)) return false;
    into = static_cast<N>(value);
    at = p;
    return true;
  }
};

bool time_of(std::string_view text, UtcTime& into) {
  const auto t = parse_rfc3339(text);
  if (!t) return false;
  into = *t;
  return true;
}

bool read_canonical_header(std::string_view bytes, EntryHeader& h) {
  Text in{bytes.data(), bytes.data() + bytes.size()};
  std::string_view at, written, kind;
  if (!(in.literal("{\"id\":\"") && in.fixed(36, h.id) && in.literal("\",\"writer\":\"") && in.fixed(36, h.writer) &&
        in.literal("\",\"number\":") && in.whole(h.number) && in.literal(",\"at\":\"") && in.plain(at) &&
        in.literal("\",\"offset_min\":") && in.whole(h.offset_min) && in.literal(",\"written\":\"") && in.plain(written) &&
        in.literal("\",\"kind\":\"") && in.plain(kind) && in.literal("\",\"version\":") && in.whole(h.kind_version) &&
        in.literal(",\"before\":\"") && in.fixed(64, h.before) && in.literal("\",\"facts\":\"") && in.fixed(64, h.facts_hash) &&
        in.literal("\",\"private\":\"") && in.fixed(64, h.private_hash) && in.literal("\"}") && in.at == in.end))
    return false;
  if (!time_of(at, h.at) || !time_of(written, h.written)) return false;
  h.kind_text.assign(kind);
  return true;
}

bool read_any_header(JsonCursor& in, EntryHeader& h) {
  if (!in.enter_object()) return false;
  MemberReader reader(in, Part::facts);
  std::string_view key;
  unsigned seen = 0;
  const auto once = [&](unsigned bit) {
    const bool fresh = (seen & (1U << bit)) == 0;
    seen |= 1U << bit;
    return fresh || in.reject("a member that stands there twice");
  };
  while (in.next_key(key)) {
    bool fine = true;
    if (key == "id")
      fine = once(0) && reader.value(h.id);
    else if (key == "writer")
      fine = once(1) && reader.value(h.writer);
    else if (key == "number")
      fine = once(2) && reader.value(h.number);
    else if (key == "at")
      fine = once(3) && reader.value(h.at);
    else if (key == "offset_min")
      fine = once(4) && reader.value(h.offset_min);
    else if (key == "written")
      fine = once(5) && reader.value(h.written);
    else if (key == "kind")
      fine = once(6) && in.read(h.kind_text);
    else if (key == "version")
      fine = once(7) && reader.value(h.kind_version);
    else if (key == "before")
      fine = once(8) && reader.value(h.before);
    else if (key == "facts")
      fine = once(9) && reader.value(h.facts_hash);
    else if (key == "private")
      fine = once(10) && reader.value(h.private_hash);
    else
      fine = in.skip();
    if (!fine) return false;
  }
  if (!in.finish()) return false;
  return seen == 0x7FF || in.reject("a needed member is missing");
}

}  // namespace

EntryKind kind_of(const PlainFacts& facts) {
  return std::visit([](const auto& x) { return KindOf<std::decay_t<decltype(x)>>::value; }, facts);
}

EntryKind kind_of(const Facts& facts) {
  if (std::holds_alternative<Amended>(facts)) return EntryKind::amended;
  return kind_of(std::get<PlainFacts>(facts));
}

Result<EncodedEntry> encode(const EntryHeader& draft, const Facts& facts, const Salts& salts) {
  const EntryKind kind = kind_of(facts);
  if (kind == EntryKind::unknown) return fail(ErrorKind::bad_input, "an entry of an unknown kind cannot be written");
  if (!writable(draft.at) || !writable(draft.written))
    return fail(ErrorKind::out_of_range, "an entry's time must lie in the years 0 to 9999");

  Facts copy = facts;  // the schema visits by reference to serve both directions
  std::string parts[2];
  for (const Part part : {Part::facts, Part::private_part}) {
    JsonText out;
    MemberWriter writer(out, part);
    out.open_object();
    writer.put("salt", hex_text(part == Part::facts ? salts.facts : salts.private_part));
    if (auto* amended = std::get_if<Amended>(&copy)) {
      const EntryKind inner = kind_of(amended->facts);
      writer.need("entry", amended->entry);
      writer.fact("at", amended->at);
      writer.priv("reason", amended->private_reason);
      if (inner != EntryKind::unknown) {
        writer.need("kind", kind_name(inner));
        writer.need("kind_version", kKindVersion);
        out.key("says");
        out.open_object();
        write_plain(writer, amended->facts);
        out.close_object();
      }
    } else {
      write_plain(writer, std::get<PlainFacts>(copy));
    }
    out.close_object();
    if (!out.finite()) return fail(ErrorKind::out_of_range, "an entry cannot hold a number that is not finite");
    if (!writer.spreads_ok())
      return fail(ErrorKind::out_of_range, "an estimate needs 5 % <= 50 % <= 95 %, a density zero or more");
    if (!writer.times_ok()) return fail(ErrorKind::out_of_range, "an entry's times must lie in the years 0 to 9999");
    parts[static_cast<int>(part)] = out.take();
  }

  EncodedEntry entry;
  entry.facts = std::move(parts[0]);
  entry.private_part = std::move(parts[1]);
  JsonText out;
  MemberWriter header(out, Part::facts);
  out.open_object();
  header.put("id", draft.id);
  header.put("writer", draft.writer);
  header.put("number", draft.number);
  header.put("at", draft.at);
  header.put("offset_min", draft.offset_min);
  header.put("written", draft.written);
  header.put("kind", kind_name(kind));
  header.put("version", kKindVersion);
  header.put("before", draft.before);
  header.put("facts", sha256(*entry.facts));
  header.put("private", sha256(*entry.private_part));
  out.close_object();
  entry.header = out.take();
  entry.hash = sha256(entry.header);
  return entry;
}

Result<void> decode_header(std::string_view header, EntryHeader& into) {
  if (!read_canonical_header(header, into)) {
    JsonCursor in(header);
    into = {};
    if (!read_any_header(in, into)) return fail(ErrorKind::damaged, "an entry's header cannot be read: " + in.fault());
  }
  into.kind = kind_from_name(into.kind_text);
  return {};
}

Result<EntryHeader> decode_header(std::string_view header) {
  EntryHeader h;
  if (auto done = decode_header(header, h); !done) return tl::unexpected(done.error());
  return h;
}

Result<Entry> decode(const EncodedEntry& bytes) {
  Result<Entry> result;
  Entry& entry = *result;
  if (auto done = decode_header(bytes.header, entry.header); !done) return tl::unexpected(done.error());
  entry.hash = bytes.hash;
  entry.facts_missing = !bytes.facts;
  entry.private_missing = !bytes.private_part;
  const EntryKind kind = entry.header.kind;
  const bool ours = kind != EntryKind::unknown && entry.header.kind_version <= kKindVersion && bytes.facts;
  const auto damaged = [&](const JsonCursor& in, const char* part) {
    return fail(
        ErrorKind::damaged,
        "the " + std::string(part) + " part of a \"" + std::string(kind_name(kind)) + "\" entry cannot be read: " + in.fault(),
        "entry " + entry.header.id.text());
  };

  Amended* amended = nullptr;
  PlainFacts* plain = nullptr;
  if (ours && kind == EntryKind::amended)
    amended = &entry.facts.emplace<Amended>();
  else if (plain = &std::get<PlainFacts>(entry.facts); ours)
    emplace_kind(kind, *plain);

  for (const Part part : {Part::facts, Part::private_part}) {
    const auto& text = part == Part::facts ? bytes.facts : bytes.private_part;
    if (!text) continue;
    JsonCursor in(*text);
    const bool fine =
        enter_part(in) && (amended != nullptr ? read_amended(in, *text, part, *amended) : read_plain(in, part, *plain));
    if (!fine || !in.finish()) return damaged(in, part == Part::facts ? "facts" : "private");
  }
  return result;
}

}  // namespace headroom

#include "cli/display.h"

#include <fmt/format.h>

#include <utility>

#include "cli/text.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom {

Result<Session> open_session(World& world, bool whole) {
  auto loaded = whole ? load_state(world.ports) : load_recent_state(world.ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  Session session{std::move(loaded->state), {}, {}};
  for (const auto& [name, setting] : session.state.settings)
    if (name.starts_with("unit.")) {
      // A unit of a later version of the program is not known here: the default stands, which is shown with its name anyway.
      (void)session.units.choose(std::string_view(name).substr(5), setting.value);
    }
  session.zone = world.shared.zone.empty() ? session.state.setting("zone") : world.shared.zone;
  // A zone that the system does not know is told before a time is shown in another one.
  if (!session.zone.empty())
    if (const auto known = world.ports.clock.offset_minutes(world.ports.clock.now(), session.zone); !known)
      return tl::unexpected<Error>(known.error());
  if (!world.shared.units.empty())
    if (auto chosen = session.units.choose_list(world.shared.units); !chosen) return tl::unexpected<Error>(chosen.error());
  return session;
}

std::string left_sentence(const Margin& m, const UnitChoice& units) {
  if (!m.left.known()) return {};
  const bool past = m.left.mid < 0;
  Amount left = m.left;
  if (past) {
    left.mid = -m.left.mid;
    left.low = -m.left.high;
    left.high = -m.left.low;
  }
  // A service counts up to its limit; everything else is a stock against what is needed of it.
  const bool counts_up = m.kind == MarginKind::service || m.kind == MarginKind::part_age ||
                         m.kind == MarginKind::reserve_repack || m.kind == MarginKind::recent_practice ||
                         m.kind == MarginKind::drill;
  const std::string amount_left = say_amount(left, units, false);
  if (counts_up && m.have.dimension != Dimension::count)
    return amount_left + (past ? " past the limit of " : " left of ") + say_amount(m.have, units, false) + ".";
  std::string out = amount_left + (past ? " short" : " left");
  if (m.have.known() && m.need.known())
    out += ": " + say_amount(m.have, units, true) + " there, " + say_amount(m.need, units, true) + " needed";
  return out + ".";
}

std::string quiet_row(const Margin& m, const Session& session, const World& world) {
  std::string left = m.left.known() ? say_amount(m.left, session.units, false) + " left" : std::string();
  if (m.state == MarginState::unknown) {
    const std::string_view id = m.id;
    left = std::string(id.substr(id.find(':') + 1));
    left = left.substr(0, left.find(':'));
  } else if (m.assumed) {
    left += ", assumed";
  }
  return "  " + row(harmless(m.title), left, world.shared.width - 2);
}

std::string margin_text(const Margin& m, const Session& session, const World& world) {
  const auto width = world.shared.width;
  std::string state = underlined(state_word(m.state));
  if (m.assumed) state += ", assumed";
  std::string out = row(strong(harmless(m.title)), state, width);
  if (m.left.known() || m.state == MarginState::unknown) {
    const auto line = limit_line(m, width - 2);
    out += "  " + line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  std::string text = left_sentence(m, session.units);
  if (m.chance_short && m.state != MarginState::ample && *m.chance_short < 0.95) {
    if (!text.empty()) text += ' ';
    text += "Chance of being short: " + say_chance(*m.chance_short) + ".";
  }
  for (const auto& why : m.why) text += (text.empty() ? "" : " ") + say_sentence(why, session.units);
  for (const auto& measure : m.measure) text += (text.empty() ? "" : " ") + say_sentence(measure, session.units);
  if (!text.empty()) out += wrapped(text, width, 2);
  for (const auto& change : m.changes) {
    std::string what = say_sentence(change.what, session.units);
    out += change.chance_short ? "  " + row(what, say_chance(*change.chance_short), width - 2) : wrapped(what, width, 4, 2);
  }
  return out;
}

namespace {

std::string quoted(const std::string& text) {
  return "\"" + text + "\"";
}

std::string noted(const std::string& note) {
  return note.empty() ? std::string() : "; " + quoted(note);
}

std::string with_spaces(std::string name) {
  for (char& c : name)
    if (c == '_') c = ' ';
  return name;
}

struct EnteredSentence {
  const Session& session;
  [[nodiscard]] std::string part_name(const std::optional<EntryId>& id) const {
    if (!id) return {};
    const auto* part = session.state.part(*id);
    if (part == nullptr) return {};
    return " on the " + part->role + (part->name.empty() ? "" : " " + quoted(part->name));
  }
  [[nodiscard]] std::string the_part(const std::optional<EntryId>& id) const {
    const std::string name = part_name(id);
    return name.empty() ? name : ": " + name.substr(std::string_view(" on ").size());
  }
  // A service by its title on the list as it stands now; by its key when the list has it no more.
  [[nodiscard]] std::string service_title(const std::string& line) const {
    for (const ServiceLine& l : service_list(session.state))
      if (l.line == line) return l.title;
    return line;
  }
  std::string operator()(const MachineRegistered& f) const {
    return f.assumed ? "Machine, assumed" : "Machine " + quoted(f.private_name);
  }
  std::string operator()(const PilotRegistered& f) const {
    return (f.assumed ? std::string("Pilot, assumed") : "Pilot " + quoted(f.private_name)) +
           (f.mass ? ", " + say_mass(*f.mass, session.units) : "");
  }
  std::string operator()(const PartRegistered& f) const {
    return "Part: " + f.role + (f.assumed ? ", assumed" : "") + (f.private_name.empty() ? "" : " " + quoted(f.private_name)) +
           (f.made ? ", made " + rfc3339(*f.made).substr(0, 10) : "");
  }
  std::string operator()(const PartFitted& f) const { return "Fitted" + the_part(f.part); }
  std::string operator()(const PartRemoved& f) const { return "Removed" + the_part(f.part) + noted(f.private_reason); }
  std::string operator()(const ServiceLineSet& f) const {
    if (f.dropped) return "Service line " + f.line + " taken off the list";
    std::string limits;
    const auto add = [&](const std::string& text) { limits += (limits.empty() ? " every " : " or ") + text; };
    if (f.running) add(say_duration(*f.running) + " running");
    if (f.air) add(say_duration(*f.air) + " in the air");
    if (f.calendar) add(say_days(*f.calendar));
    if (f.launches) add(fmt::format("{} launches", *f.launches));
    return "Service line " + f.line + ": " + f.title + limits;
  }
  std::string operator()(const ServiceDone& f) const {
    return "Service done: " + quoted(service_title(f.line)) + part_name(f.part) + noted(f.private_note);
  }
  std::string operator()(const CounterRead& f) const {
    return f.counter == Counter::launches ? fmt::format("Launches read: {:.0f}", f.value)
                                          : fmt::format("Hours read: {:.1f} h", f.value / 3600) + part_name(f.part);
  }
  std::string operator()(const Reading& f) const {
    const auto name = with_spaces(f.quantity);
    if (f.unit == "K") return "Reading: " + name + " " + say_temperature(kelvins(f.value), session.units) + part_name(f.part);
    if (f.unit == "s") return fmt::format("Reading: {} {:g} s{}", name, f.value, part_name(f.part));
    return fmt::format("Reading: {} {:g}{}{}", name, f.value, f.unit == "1" ? "" : " " + f.unit, part_name(f.part));
  }
  std::string operator()(const PlugRead& f) const {
    constexpr const char* kColours[] = {"white", "pale", "tan", "dark", "black"};
    constexpr const char* kMixtures[] = {"", ", read as lean", ", read as right", ", read as rich"};
    return std::string("Plug: ") + kColours[static_cast<int>(f.colour)] + (f.wet ? ", wet" : ", dry") +
           kMixtures[static_cast<int>(f.mixture)];
  }
  std::string operator()(const RecordingAttached& f) const {
    return fmt::format("Recording: {}, {} fixes{}", f.private_file_name.empty() ? f.format : f.private_file_name, f.fixes,
                       f.simulated ? ", simulated" : "");
  }
  std::string operator()(const FlightEntry& f) const {
    return "Flight of " + say_duration(f.air_time) + (f.launches > 1 ? fmt::format(", {} launches", f.launches) : "");
  }
  std::string operator()(const Remeasured&) const { return "Flight measured again"; }
  std::string operator()(const EngineRun& f) const { return "Engine run of " + say_duration(f.running) + noted(f.private_note); }
  std::string operator()(const GroundHandling& f) const { return "Ground handling for " + say_duration(f.duration); }
  std::string operator()(const FuelMixed& f) const {
    return "Fuel mixed: " + say_volume(f.fuel, session.units) +
           (f.ratio ? fmt::format(" at {:.0f}:1", *f.ratio) : ", ratio not said") +
           (f.oil     ? fmt::format(", {:.0f} mL of oil", in_litres(*f.oil) * 1000)
            : f.ratio ? fmt::format(" ({:.0f} mL of oil)", in_litres(f.fuel) * 1000 / *f.ratio)
                      : "") +
           noted(f.private_note);
  }
  std::string operator()(const FuelFilled& f) const {
    return "Filled " + say_volume(f.added, session.units) +
           (f.in_tank_after ? "; the tank holds " + say_volume(*f.in_tank_after, session.units) : "");
  }
  std::string operator()(const FuelLeft& f) const { return "Left in the tank: " + say_volume(f.left, session.units); }
  std::string operator()(const Finding& f) const {
    return std::string(f.grounding ? "Grounding finding" : "Deferred finding") + part_name(f.part) + ": " +
           quoted(f.private_text);
  }
  std::string operator()(const FindingClosed& f) const { return "Finding closed: " + quoted(f.private_text); }
  std::string operator()(const Alteration& f) const {
    return "Alteration, " + f.area + part_name(f.part) + ": " + quoted(f.private_text);
  }
  std::string operator()(const MoneySpent& f) const {
    return fmt::format("Spent {:.2f} {}: {}", static_cast<double>(f.private_cents) / 100, f.private_currency,
                       quoted(f.private_what));
  }
  std::string operator()(const DrillPractised& f) const {
    return "Drill practised: " + with_spaces(f.drill) + noted(f.private_note);
  }
  std::string operator()(const FieldDescribed& f) const {
    return "Field " + quoted(f.private_name) +
           (f.height ? ", " + say_height(*f.height - AltitudeMsl{}, session.units) + " above sea level" : "") +
           noted(f.private_text);
  }
  std::string operator()(const CheckDone& f) const {
    for (const CheckItem& item : each_flight_checks())
      if (item.check == f.check) return "Check " + quoted(std::string(item.title)) + ": " + with_spaces(f.state);
    return "Check " + quoted(with_spaces(f.check)) + ": " + with_spaces(f.state);
  }
  std::string operator()(const Setting& f) const {
    if (f.name == "book_is") return f.value == "real" ? "Book begun" : "Book begun; everything in it is invented";
    if (f.name.starts_with("unit.")) return "Unit of " + f.name.substr(5) + ": " + f.value;
    if (f.name == "zone") return "Time zone: " + f.value;
    return "Setting " + f.name + ": " + f.value;
  }
  std::string operator()(const Note& f) const { return "Note: " + quoted(f.private_text); }
  std::string operator()(const PhotoAttached&) const { return "Photo"; }
  std::string operator()(const Voided& f) const { return "Voided: " + f.private_reason; }
  std::string operator()(const UnknownFacts&) const { return "Entry of a kind not known here"; }
};

}  // namespace

std::string facts_sentence(const PlainFacts& facts, const Session& session) {
  return std::visit(EnteredSentence{session}, facts);
}

std::string entered_sentence(const PlainFacts& facts, const Session& session, UtcTime at, std::uint64_t number, World& world) {
  return facts_sentence(facts, session) + ", " + local_text(at, world.ports.clock, session.zone) +
         fmt::format(". Entry {} in the book.", number);
}

}  // namespace headroom

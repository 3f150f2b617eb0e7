#include "app/entry_words.h"

#include <fmt/format.h>

#include <cmath>
#include <string_view>
#include <utility>

#include "app/said_day.h"
#include "core/machine/figures.h"
#include "core/upkeep/service_list.h"
#include "formats/say.h"

namespace headroom {

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
  const State& state;
  const UnitChoice& units;
  [[nodiscard]] std::string part_name(const std::optional<EntryId>& id) const {
    if (!id) return {};
    const auto* part = state.part(*id);
    if (part == nullptr) return {};
    return " on the " + part->role + (part->name.empty() ? "" : " " + quoted(part->name));
  }
  [[nodiscard]] std::string the_part(const std::optional<EntryId>& id) const {
    const std::string name = part_name(id);
    return name.empty() ? name : ": " + name.substr(std::string_view(" on ").size());
  }
  // A service by its title on the list as it stands now; by its key when the list has it no more.
  [[nodiscard]] std::string service_title(const std::string& line) const {
    for (const ServiceLine& l : service_list(state))
      if (l.line == line) return l.title;
    return line;
  }
  std::string operator()(const MachineRegistered& f) const {
    return f.assumed ? "Machine, assumed" : "Machine " + quoted(f.private_name);
  }
  std::string operator()(const PilotRegistered& f) const {
    return (f.assumed ? std::string("Pilot, assumed") : "Pilot " + quoted(f.private_name)) +
           (f.mass ? ", " + say_mass(*f.mass, units) : "");
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
    if (const auto* figure = find_figure(f.quantity); figure != nullptr && figure->dimension != Dimension::none)
      return "Figure: " + std::string(figure->words) + " " + say_amount(exact_amount(figure->dimension, f.value), units, false);
    const auto name = with_spaces(f.quantity);
    if (f.unit == "K") return "Reading: " + name + " " + say_temperature(kelvins(f.value), units) + part_name(f.part);
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
    return "Fuel mixed: " + say_volume(f.fuel, units) + (f.ratio ? fmt::format(" at {:.0f}:1", *f.ratio) : ", ratio not said") +
           (f.oil     ? fmt::format(", {:.0f} mL of oil", in_litres(*f.oil) * 1000)
            : f.ratio ? fmt::format(" ({:.0f} mL of oil)", in_litres(f.fuel) * 1000 / *f.ratio)
                      : "") +
           noted(f.private_note);
  }
  std::string operator()(const FuelFilled& f) const {
    return "Filled " + say_volume(f.added, units) +
           (f.in_tank_after ? "; the tank holds " + say_volume(*f.in_tank_after, units) : "");
  }
  std::string operator()(const FuelLeft& f) const { return "Left in the tank: " + say_volume(f.left, units); }
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
  std::string operator()(const RunMeasured& f) const {
    std::string out = "Take-off run of " + say_distance(f.room, units);
    if (f.steps) out += fmt::format(" ({} steps)", *f.steps);
    out += f.wheels ? " on wheels" : " on foot";
    if (f.headwind)
      out += f.headwind->si() > 0   ? ", headwind " + say_speed(*f.headwind, units)
             : f.headwind->si() < 0 ? ", tail wind " + say_speed(-*f.headwind, units)
                                    : ", calm";
    if (f.temperature) out += ", " + say_temperature(*f.temperature, units);
    if (f.height) out += ", " + say_height(*f.height - AltitudeMsl{}, units) + " above sea level";
    if (f.slope && *f.slope != 0) out += fmt::format(", {:.1f} % {}", 100 * std::abs(*f.slope), *f.slope > 0 ? "up" : "down");
    if (f.surface) out += std::string(", ") + std::string(ground_words(*f.surface));
    if (f.all_up) out += ", all-up " + say_mass(*f.all_up, units);
    return out + noted(f.private_note);
  }
  std::string operator()(const FieldDescribed& f) const {
    return "Field " + quoted(f.private_name) +
           (f.height ? ", " + say_height(*f.height - AltitudeMsl{}, units) + " above sea level" : "") + noted(f.private_text);
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
  std::string operator()(const PhotoAttached& f) const { return "Photo" + noted(f.private_text); }
  std::string operator()(const Voided& f) const { return "Voided: " + f.private_reason; }
  std::string operator()(const UnknownFacts&) const { return "Entry of a kind not known here"; }
};

}  // namespace

std::string facts_sentence(const PlainFacts& facts, const State& state, const UnitChoice& units) {
  return std::visit(EnteredSentence{state, units}, facts);
}

}  // namespace headroom

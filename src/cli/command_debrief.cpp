// headroom debrief FILE...: what happened, into the book, and what has become thin.
#include <fmt/format.h>

#include <memory>

#include "app/debrief.h"
#include "app/debrief_json.h"
#include "cli/command.h"
#include "cli/debrief_files.h"
#include "cli/display.h"
#include "cli/text.h"
#include "core/track/story.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct DebriefArguments {
  std::vector<std::string> files;
  bool look_only = false;
  bool full = false;
  DebriefOutputs outputs;
};

constexpr std::size_t kStoryLines = 12;

// What the flight was made of, with the wind, the engine and the measures it showed.
template <class ClockText>
std::string detail_text(const FlightDetail& detail, const std::vector<UsualOfMeasure>& usual, bool full, const Session& session,
                        const World& world, const ClockText& clock_text) {
  const auto& u = session.units;
  const auto width = world.shared.width;
  std::string out;
  for (const auto& line : tell_story(detail, full ? 0 : kStoryLines))
    out += wrapped(clock_text(line.begin) + "  " + say_sentence(line.text, u), width, 12, 2);
  for (const auto& sentence : engine_sentences(detail)) out += wrapped(say_sentence(sentence, u), width, 2);
  out += wrapped(say_sentence(wind_sentence(detail), u), width, 2);
  if (detail.layers.size() > 1)
    for (const auto& sentence : layer_sentences(detail)) out += wrapped(say_sentence(sentence, u), width, 6, 4);
  std::string_view last_remark;
  for (const auto& m : detail.measures) {
    // Told above, as sentences.
    if (!full &&
        (m.kind == MeasureKind::powered_time || m.kind == MeasureKind::running_time || m.kind == MeasureKind::wind_speed))
      continue;
    if (!m.as_flown.known()) {
      if (full) out += wrapped(std::string(measure_words(m.kind)) + ": not known: " + m.as_flown.note, width, 6, 4);
      continue;
    }
    std::string text = std::string(measure_words(m.kind)) + ": " + say_amount(m.as_flown, u, true);
    if (m.standard && m.standard->known()) text += "; at standard conditions " + say_amount(*m.standard, u, true);
    if (!m.remark.empty() && m.remark != last_remark) text += " (" + m.remark + ")";
    last_remark = m.remark;
    for (const auto& other : usual) {
      if (other.measure != m.kind || !other.answer) continue;
      const auto& a = *other.answer;
      const auto low = exact_amount(a.usual.dimension, a.usual.low), high = exact_amount(a.usual.dimension, a.usual.high);
      if (a.enough)
        text += fmt::format("; {}: {} to {} by {} flights before", a.unusual ? "unusual" : "usual", say_amount(low, u, false),
                            say_amount(high, u, false), a.n);
      else if (full)
        text += "; usual or not: " + a.why;
    }
    out += wrapped(text, width, 6, 4);
  }
  return out;
}

std::string flight_text(const DebriefedFlight& found, bool full, const Session& session, World& world) {
  const auto& f = found.flight;
  const auto& s = f.summary;
  const auto& u = session.units;
  const auto width = world.shared.width;
  const auto clock_text = [&](UtcTime t) {
    const auto offset = world.ports.clock.offset_minutes(t, session.zone);
    return rfc3339(t + std::chrono::minutes(offset ? *offset : 0)).substr(11, 8);
  };
  std::string out = wrapped(
      local_text(f.launch, world.ports.clock, session.zone) + ": " + say_duration(s.air_time) + " in the air", width, 2, 0);
  std::string when = f.begins_in_air ? "Already flying when the recording begins at " + clock_text(f.launch) + "; "
                                     : "Launch " + clock_text(f.launch) + ", ";
  when +=
      f.ends_in_air ? "still flying when it ends at " + clock_text(f.landing) + "." : "landing " + clock_text(f.landing) + ".";
  out += wrapped(when, width, 2);
  out += wrapped(
      say_distance(s.track_length, u) + " flown, " + say_distance(s.farthest_distance, u) + " from launch at the farthest.",
      width, 2);
  std::string heights;
  if (s.lowest && s.highest)
    heights = "Height " + say_height(*s.lowest - AltitudeMsl{}, u) + " to " + say_height(*s.highest - AltitudeMsl{}, u) +
              " above sea level";
  else if (s.lowest_pressure && s.highest_pressure)
    heights = "Pressure altitude " + say_height(*s.lowest_pressure - PressureAltitude{}, u) + " to " +
              say_height(*s.highest_pressure - PressureAltitude{}, u);
  else
    heights = "No height in the recording";
  out += wrapped(heights + "; " + say_height(s.height_gained, u) + " gained in all. Nine tenths of the time between " +
                     say_climb(s.climb_5, u) + " and " + say_climb(s.climb_95, u) + " of climb.",
                 width, 2);
  out += wrapped(
      "Ground speed " + say_speed(s.ground_speed_50, u) + " in the middle, " + say_speed(s.ground_speed_highest, u) + " at most.",
      width, 2);
  out += detail_text(found.detail, found.usual, full, session, world, clock_text);
  if (found.same_as)
    out +=
        wrapped("Another recorder of this flight is in the book already: that one counts, this one is kept beside it.", width, 2);
  for (const auto& d : f.doubts) out += wrapped("Doubt: " + d, width, 4, 2);
  return out;
}

std::string file_text(const DebriefedFile& file, bool full, const Session& session, World& world) {
  const auto width = world.shared.width;
  std::string out = wrapped(file.path, width, 2, 0);
  if (file.error) return out + wrapped("Refused: " + file.error->what, width, 2);
  std::string first = fmt::format("{} fixes in {} lines", file.account.fixes, file.account.lines);
  if (file.account.dropped > 0) first += fmt::format(", {} dropped", file.account.dropped);
  const auto dropped_in_cleaning = file.cleaned.fixes - file.cleaned.kept;
  if (dropped_in_cleaning > 0) first += fmt::format("; {} fixes set aside in cleaning", dropped_in_cleaning);
  if (file.simulated) first += ". Simulated";
  if (file.already_in_book) first += ". Already in the book: nothing new written";
  out += wrapped(first + ".", width, 2);
  if (file.flights.empty()) out += wrapped("No flight in it.", width, 2);
  for (const auto& f : file.flights) out += flight_text(f, full, session, world);
  constexpr std::size_t kShown = 12;
  for (std::size_t i = 0; i < file.warnings.size() && i < kShown; ++i) {
    const auto& w = file.warnings[i];
    out += wrapped(
        fmt::format("Warning {}{}: {}", static_cast<int>(w.code), w.line > 0 ? fmt::format(", line {}", w.line) : "", w.text),
        width, 4, 2);
  }
  if (file.warnings.size() > kShown)
    out += fmt::format("  and {} more warnings, all kept in the book\n", file.warnings.size() - kShown);
  for (const auto& note : file.notes) out += wrapped(note, width, 4, 2);
  return out;
}

// Many files as a table: a row a flight, then what was refused and why.
std::string table_text(const std::vector<DebriefedFile>& files, const Session& session, World& world) {
  const auto width = world.shared.width;
  const auto base = [](const std::string& path) { return harmless(path.substr(path.find_last_of('/') + 1)); };
  std::string rows, none, refused;
  std::size_t flights = 0, refusals = 0, warnings = 0;
  double air_s = 0;
  for (const auto& file : files) {
    warnings += file.warnings.size();
    if (file.error) {
      ++refusals;
      refused += wrapped(file.path + ": " + file.error->what, width, 4, 2);
      continue;
    }
    if (file.flights.empty()) none += (none.empty() ? "" : ", ") + base(file.path);
    for (const auto& f : file.flights) {
      ++flights;
      const bool counts = !f.same_as;
      if (counts) air_s += in_seconds(f.flight.summary.air_time);
      std::string right = base(file.path);
      if (!counts)
        right += ", a second recorder";
      else if (file.already_in_book)
        right += ", in the book before";
      rows +=
          row(fmt::format("{}  {:>11}  {:>8}", local_text(f.flight.launch, world.ports.clock, session.zone),
                          say_duration(f.flight.summary.air_time), say_distance(f.flight.summary.track_length, session.units)),
              right, width);
    }
  }
  std::string out = rows;
  out += wrapped(fmt::format("{} flights in {} recordings, {} in the air; {} warnings (--full shows them).", flights,
                             files.size() - refusals, say_duration(seconds(air_s)), warnings),
                 width, 2, 0);
  if (!none.empty()) out += wrapped("No flight in: " + none + ".", width, 2, 0);
  if (!refused.empty()) out += fmt::format("Refused, nothing of these written ({}):\n", refusals) + refused;
  return out;
}

int run_debrief(World& world, const DebriefArguments& arguments) {
  auto session = open_session(world);
  if (!session) return report(world, session.error());
  DebriefRequest request;
  for (const auto& path : arguments.files) {
    if (!world.ports.files.is_folder(path)) {
      request.paths.push_back(path);
      continue;
    }
    const auto inside = world.ports.files.list(path);
    if (!inside) return report(world, inside.error());
    if (inside->empty()) return report(world, {ErrorKind::bad_input, "there is no file in this folder", path});
    request.paths.insert(request.paths.end(), inside->begin(), inside->end());
  }
  if (const auto right = check_outputs(arguments.outputs, request.paths.size()); !right) return report(world, right.error());
  request.keep_track = arguments.outputs.any();
  request.write = !arguments.look_only;
  if (const auto offset = world.ports.clock.offset_minutes(world.ports.clock.now(), session->zone)) request.offset_min = *offset;
  const auto answer = debrief(request, world.ports);
  if (!answer) return report(world, answer.error());

  int code = kDone;
  for (const auto& file : answer->files)
    if (file.error) code = std::max(code, exit_code(file.error->kind));
  // An archive may hold several.
  if (const auto right = check_outputs(arguments.outputs, answer->files.size()); !right) return report(world, right.error());
  if (arguments.outputs.any())
    if (const auto wrote = write_outputs(arguments.outputs, answer->files.front(), *session, world); !wrote)
      return report(world, wrote.error());
  if (world.shared.json) {
    print(answer_text(debrief_json(*answer, session->units)));
    return code;
  }
  constexpr std::size_t kWrittenOut = 3;
  if (answer->files.size() > kWrittenOut && !arguments.full)
    print(table_text(answer->files, *session, world));
  else
    for (const auto& file : answer->files) print(file_text(file, arguments.full, *session, world));
  if (arguments.look_only) print("Looked at only: nothing was written.\n");
  for (const auto& sentence : answer->assumed) print(wrapped(sentence, world.shared.width));
  if (!answer->newly_thin.empty()) {
    print("\nGrown thin with this:\n");
    for (const auto& m : answer->newly_thin) print(margin_text(m, *session, world));
    print(wrapped(kCaution, world.shared.width));
  }
  return code;
}

}  // namespace

void add_debrief(CommandTree& tree) {
  auto* command =
      tree.root.add_subcommand("debrief", "After a flight: read recordings, say what happened, write it into the book");
  auto arguments = std::make_shared<DebriefArguments>();
  command
      ->add_option("file", arguments->files, "Recordings (IGC, GPX, NMEA, KML, also zipped), told by their content, or folders")
      ->type_name("FILE")
      ->required();
  command->add_flag("--look-only", arguments->look_only, "Say what is in them and write nothing");
  command->add_flag("--full", arguments->full, "Every file in full, however many there are");
  command->add_option("--series", arguments->outputs.series, "Also write what was found at every fix, as comma-separated values")
      ->type_name("OUT.csv");
  command->add_option("--plot", arguments->outputs.plot, "Also draw height, speed, climb, engine and wind, as SVG")
      ->type_name("OUT.svg");
  command->footer(
      "Examples:\n"
      "  headroom debrief 2026-05-02.igc\n"
      "  headroom debrief --look-only --plot flight.svg --series flight.csv 2026-05-02.igc\n"
      "  headroom debrief --look-only old-recordings/\n"
      "Of several files the refused ones are named, the others are written (exit code 2).");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_debrief(world, *arguments); }; });
}

}  // namespace headroom

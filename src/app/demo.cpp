#include "app/demo.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "app/debrief.h"
#include "app/record.h"
#include "core/simulate/season.h"
#include "core/upkeep/service_list.h"
#include "formats/igc_write.h"

namespace headroom {
namespace {

using simulate::SeasonRecording;
using simulate::SeasonStep;

constexpr std::string_view kTruthHead =
    "file,recording,flight,launch,landing,air_time_s,running_time_s,powered_time_s,run_length_m,run_time_s,run_headwind_m_s,"
    "lift_off_ground_speed_m_s,fuel_burned_l,wind_10m_m_s,wind_10m_from_deg,wind_300m_m_s,wind_300m_from_deg,origin\n";

std::string_view word_of(simulate::RecordingKind kind) {
  using simulate::RecordingKind;
  switch (kind) {
    case RecordingKind::flight:
      return "flight";
    case RecordingKind::second_recorder:
      return "second recorder";
    case RecordingKind::begins_in_air:
      return "begins in the air";
    case RecordingKind::two_flights:
      return "two flights";
    case RecordingKind::flight_and_ride:
      return "flight and ride";
    case RecordingKind::ride:
      return "ride";
  }
  return "";
}

// One line for each flight in the recording, one without figures for a ride.
std::string truth_rows(const SeasonRecording& r) {
  if (r.flights.empty()) return fmt::format("{},{},,,,,,,,,,,,,,,,simulated\n", r.name, word_of(r.kind));
  std::string rows;
  for (const simulate::SeasonFlight& flight : r.flights) {
    const simulate::Truth& t = flight.truth;
    const simulate::AirMotion above = simulate::mean_wind(flight.script.air, 300);
    const double above_from = std::fmod(std::atan2(-above.east_m_s, -above.north_m_s) * 180 / std::numbers::pi + 360, 360);
    rows += fmt::format(
        "{},{},{},{},{},{:.1f},{:.1f},{:.1f},{:.1f},{:.1f},{:.2f},{:.2f},{:.3f},{:.1f},{:.0f},{:.1f},{:.0f},simulated\n", r.name,
        word_of(r.kind), flight.number, rfc3339(t.launch), rfc3339(t.landing), in_seconds(t.air_time), in_seconds(t.running_time),
        in_seconds(t.powered_time), in_metres(t.run_length), in_seconds(t.run_time), in_metres_per_second(t.run_headwind),
        in_metres_per_second(t.lift_off_ground_speed), in_litres(t.fuel_burned), in_metres_per_second(flight.script.air.wind_10m),
        flight.script.air.from.degrees(), std::hypot(above.east_m_s, above.north_m_s), above_from);
  }
  return rows;
}

// Writes hand entries that wait, in one transaction.
Result<void> flush_entries(std::vector<Draft>& waiting, DemoAnswer& answer, Ports& ports) {
  if (waiting.empty()) return {};
  const auto ids = record(waiting, {}, ports);
  if (!ids) return tl::unexpected(ids.error());
  answer.entries += ids->size();
  waiting.clear();
  return {};
}

void add_to_counts(const SeasonRecording& r, const std::string& path, DemoAnswer& answer) {
  using simulate::RecordingKind;
  answer.recordings.push_back(path);
  if (r.left) answer.left = path;
  if (r.kind == RecordingKind::second_recorder)
    ++answer.recorded_twice;
  else
    answer.flown += r.flights.size();
  answer.rides += r.kind == RecordingKind::ride;
  answer.left_on += r.kind == RecordingKind::two_flights || r.kind == RecordingKind::flight_and_ride;
  answer.begun_in_air += r.kind == RecordingKind::begins_in_air;
  for (const simulate::SeasonFlight& f : r.flights)
    answer.flights.push_back({f.number, path, f.truth.launch, f.truth.landing, r.kind == RecordingKind::begins_in_air, {}, {}});
}

// Debriefs one recording, whose flights are the last of the answer's.
Result<void> debrief_one(const SeasonRecording& r, const std::string& path, DemoAnswer& told, Ports& ports) {
  DebriefRequest request;
  request.paths = {path};
  request.simulated_book = true;
  request.offset_min = simulate::kSeasonOffsetMin;
  const auto answer = debrief(request, ports);
  if (!answer) return tl::unexpected(answer.error());
  for (const DebriefedFile& file : answer->files) {
    if (file.error) return tl::unexpected(*file.error);
    if (file.flights.size() != r.flights.size()) continue;
    DemoFlight* flight = told.flights.data() + (told.flights.size() - r.flights.size());
    for (const DebriefedFlight& found : file.flights) {
      flight->found_launch = found.flight.launch;
      flight->found_landing = found.flight.landing;
      ++flight;
    }
  }
  return {};
}

}  // namespace

Result<DemoAnswer> make_demo(const DemoRequest& request, Ports& ports) {
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected(store.error());
  const auto count = (*store)->entry_count();
  if (!count) return tl::unexpected(count.error());
  if (*count > 0)
    return fail(ErrorKind::refused,
                "the invented season wants a book of its own, and this one holds entries; choose another folder",
                ports.book.place());

  const UtcTime now = ports.clock.now();
  std::vector<EntryId> ids;
  for (std::size_t i = 0; i < simulate::kSeasonIdCount; ++i) ids.push_back(fresh_id(now, ports.random));
  simulate::SeasonRequest season;
  season.end = request.end.value_or(now);
  season.seed = request.seed;
  season.services = default_service_list();
  const auto steps = simulate::invent_season(season, ids, [&](int done) {
    ports.progress.step("inventing flights", static_cast<std::uint64_t>(done), simulate::kSeasonFlights);
    return !ports.progress.stop_requested();
  });
  if (!steps) return tl::unexpected(steps.error());

  DemoAnswer answer;
  answer.book = ports.book.place();
  answer.folder = request.folder + "/recordings";
  answer.truth = request.folder + "/truth-simulated.csv";
  for (const std::string& folder : {request.folder, answer.folder})
    if (const auto made = ports.files.make_folder(folder); !made) return tl::unexpected(made.error());

  std::string truth(kTruthHead);
  std::vector<Draft> waiting;
  for (const SeasonStep& step : *steps) {
    if (!step.recording) {
      Draft draft;
      if (step.fact.id != EntryId{}) draft.id = step.fact.id;
      draft.facts = step.fact.facts;
      draft.at = step.at;
      draft.offset_min = simulate::kSeasonOffsetMin;
      waiting.push_back(std::move(draft));
      continue;
    }
    const SeasonRecording& r = *step.recording;
    if (const auto done = flush_entries(waiting, answer, ports); !done) return tl::unexpected(done.error());
    const auto bytes = write_simulated_igc(
        r.recording, {std::string(simulate::kInventedPilot), std::string(simulate::kInventedAircraft), r.long_date});
    if (!bytes) return tl::unexpected(bytes.error());
    const std::string path = answer.folder + "/" + r.name;
    if (const auto done = ports.files.write(path, *bytes); !done) return tl::unexpected(done.error());
    add_to_counts(r, path, answer);
    truth += truth_rows(r);
    if (r.left) continue;
    if (const auto done = debrief_one(r, path, answer, ports); !done) return tl::unexpected(done.error());
    ports.progress.step("debriefing", answer.recordings.size(), simulate::kSeasonRecordings);
  }
  if (const auto done = flush_entries(waiting, answer, ports); !done) return tl::unexpected(done.error());
  if (const auto done = ports.files.write(answer.truth, truth); !done) return tl::unexpected(done.error());
  return answer;
}

}  // namespace headroom

#include "app/demo.h"

#include <fmt/format.h>

#include "app/debrief.h"
#include "app/record.h"
#include "core/simulate/season.h"
#include "core/upkeep/service_list.h"
#include "formats/igc_write.h"

namespace headroom {
namespace {

using simulate::SeasonRecording;
using simulate::SeasonStep;

std::string truth_row(const SeasonRecording& r) {
  const simulate::Truth& t = r.truth;
  return fmt::format("{},{},{},{:.1f},{:.1f},{:.1f},{:.1f},{:.1f},{:.2f},{:.2f},{:.3f},{:.1f},{:.0f},simulated\n", r.name,
                     rfc3339(t.launch), rfc3339(t.landing), in_seconds(t.air_time), in_seconds(t.running_time),
                     in_seconds(t.powered_time), in_metres(t.run_length), in_seconds(t.run_time),
                     in_metres_per_second(t.run_headwind), in_metres_per_second(t.lift_off_ground_speed),
                     in_litres(t.fuel_burned), in_metres_per_second(r.script.air.wind_10m), r.script.air.from.degrees());
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

Result<DemoFlight> debrief_one(const SeasonRecording& r, const std::string& path, Ports& ports) {
  DebriefRequest request;
  request.paths = {path};
  request.simulated_book = true;
  request.offset_min = simulate::kSeasonOffsetMin;
  const auto answer = debrief(request, ports);
  if (!answer) return tl::unexpected(answer.error());
  DemoFlight flight{path, r.truth.launch, r.truth.landing, {}, {}};
  for (const DebriefedFile& file : answer->files) {
    if (file.error) return tl::unexpected(*file.error);
    if (file.flights.size() != 1) continue;
    flight.found_launch = file.flights.front().flight.launch;
    flight.found_landing = file.flights.front().flight.landing;
  }
  return flight;
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
  answer.recordings = request.folder + "/recordings";
  answer.truth = request.folder + "/truth-simulated.csv";
  for (const std::string& folder : {request.folder, answer.recordings})
    if (const auto made = ports.files.make_folder(folder); !made) return tl::unexpected(made.error());

  std::string truth =
      "file,launch,landing,air_time_s,running_time_s,powered_time_s,run_length_m,run_time_s,run_headwind_m_s,"
      "lift_off_ground_speed_m_s,fuel_burned_l,wind_10m_m_s,wind_10m_from_deg,origin\n";
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
    const std::string path = answer.recordings + "/" + r.name;
    if (const auto done = ports.files.write(path, *bytes); !done) return tl::unexpected(done.error());
    auto flight = debrief_one(r, path, ports);
    if (!flight) return tl::unexpected(flight.error());
    answer.flights.push_back(std::move(*flight));
    truth += truth_row(r);
    ports.progress.step("debriefing", answer.flights.size(), simulate::kSeasonFlights);
  }
  if (const auto done = flush_entries(waiting, answer, ports); !done) return tl::unexpected(done.error());
  if (const auto done = ports.files.write(answer.truth, truth); !done) return tl::unexpected(done.error());
  return answer;
}

}  // namespace headroom

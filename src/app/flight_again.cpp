#include "app/flight_again.h"

#include "app/geoid_on_demand.h"
#include "formats/recording_reader.h"

namespace headroom {

Result<FlightAgain> flight_again(const FlightState& flight, const DetailOptions& options, Ports& ports) {
  constexpr auto kSameLaunch = std::chrono::minutes(5);
  if (flight.recording == Hash{}) return fail(ErrorKind::not_found, "this flight has no recording");
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  const auto bytes = (*store)->blob(flight.recording);
  if (!bytes) return tl::unexpected<Error>(bytes.error());
  if (!*bytes) return fail(ErrorKind::not_found, "the recording of this flight is not in this copy of the book");
  ReadOptions reading;
  reading.latest_plausible = ports.clock.now() + std::chrono::days(2);
  auto recording = read_recording(**bytes, reading);
  if (!recording) return tl::unexpected<Error>(recording.error());
  GeoidOnDemand geoid(ports.files);
  Workspace workspace;
  auto analysis =
      analyse_giving_up_fixes(*recording, recording->gnss_datum == HeightDatum::geoid ? nullptr : geoid.get(), workspace);
  if (!analysis) return tl::unexpected<Error>(analysis.error());
  FlightAgain out;
  out.index = analysis->found.size();
  for (std::size_t i = 0; i < analysis->found.size(); ++i) {
    const auto off = std::chrono::abs(analysis->found[i].launch - flight.launch);
    if (off < kSameLaunch &&
        (out.index == analysis->found.size() || off < std::chrono::abs(analysis->found[out.index].launch - flight.launch)))
      out.index = i;
  }
  if (out.index == analysis->found.size()) return fail(ErrorKind::not_found, "this flight is not found again in its recording");
  out.detail = tell_flight(*recording, *analysis, analysis->found[out.index], options);
  if (auto doubt = aircraft_doubt(out.detail.measures); !doubt.empty())
    analysis->flights[out.index].doubts.push_back(std::move(doubt));
  out.recording = std::move(*recording);
  out.analysis = std::move(*analysis);
  return out;
}

}  // namespace headroom

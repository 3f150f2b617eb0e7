#include "core/track/analyse.h"

#include <utility>

#include "core/track/path.h"
#include "core/track/summary.h"

namespace headroom {
namespace {

Result<Analysis> start_analysis(const Recording& recording, Workspace& reuse) {
  Analysis result;
  result.clean = std::move(reuse.clean_report);
  result.track = std::move(reuse.track);
  result.smoothed = std::move(reuse.smoothed);
  if (auto cleaned = clean(recording, result.track, result.clean, reuse.clean_scratch); !cleaned)
    return tl::unexpected<Error>(std::move(cleaned.error()));
  return result;
}

// Needs of the recording only its header.
void finish_analysis(const Recording& recording, const Geoid* geoid, Workspace& reuse, Analysis& result) {
  smooth(result.track, result.smoothed);
  find_flights(result.track, result.smoothed, declared_carrier(recording), reuse.search);
  result.notes = result.clean.notes;
  for (const RefusedStretch& r : reuse.search.refused)
    result.notes.push_back("no flight from " + rfc3339(result.track.fixes[r.first].time) + " to " +
                           rfc3339(result.track.fixes[r.last].time) + ": " + r.evidence.against);

  std::vector<PathPoint> points;
  for (const FoundFlight& found : reuse.search.flights) {
    Flight flight;
    flight.launch = found.launch;
    flight.landing = found.landing;
    flight.begins_in_air = found.begins_in_air;
    flight.ends_in_air = found.ends_in_air;
    flight.launch_uncertainty = found.launch_uncertainty;
    flight.landing_uncertainty = found.landing_uncertainty;
    flight.launch_position = result.smoothed.fixes[found.first].position;
    flight.landing_position = result.smoothed.fixes[found.last].position;
    flight.summary = summarise(result.track, result.smoothed, found, geoid);
    flight.doubts = found.doubts;
    if (result.track.has_gnss)
      if (std::string doubt = datum_doubt(result.track.gnss_datum, flight.launch_position, geoid); !doubt.empty())
        flight.doubts.push_back(std::move(doubt));
    // Of the fixes only the neighbours of the instants that a path is told at are needed.
    points.clear();
    const auto tens = [&](std::size_t i) {
      return std::chrono::floor<std::chrono::seconds>(result.track.fixes[i].time).time_since_epoch().count() / kPathStepShort_s;
    };
    for (std::size_t i = found.first; i <= found.last; ++i)
      if (i == found.first || i == found.last || tens(i) != tens(i - 1) || tens(i) != tens(i + 1))
        points.push_back({result.track.fixes[i].time, result.smoothed.fixes[i].position});
    result.paths.push_back(encode_path(points, flight.launch, flight.landing));
    result.flights.push_back(std::move(flight));
  }
  result.found = std::move(reuse.search.flights);
}

}  // namespace

Result<Analysis> analyse(const Recording& recording, const Geoid* geoid, Workspace& reuse) {
  auto result = start_analysis(recording, reuse);
  if (result) finish_analysis(recording, geoid, reuse, *result);
  return result;
}

Result<Analysis> analyse_giving_up_fixes(Recording& recording, const Geoid* geoid, Workspace& reuse) {
  auto result = start_analysis(recording, reuse);
  if (!result) return result;
  // Of a short one the pages are sooner used again than given back.
  if (recording.fixes.size() > 100'000) {
    std::vector<Fix>().swap(recording.fixes);
    reuse.clean_scratch = {};
  }
  finish_analysis(recording, geoid, reuse, *result);
  return result;
}

}  // namespace headroom

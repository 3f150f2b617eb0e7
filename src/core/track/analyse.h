#pragma once
// One call from what a recorder wrote to the flights in it: clean, smooth, find, summarise.
#include <string>
#include <vector>

#include "core/earth/geoid.h"
#include "core/result.h"
#include "core/track/clean.h"
#include "core/track/flight.h"
#include "core/track/flights.h"
#include "core/track/recording.h"
#include "core/track/smooth.h"

namespace headroom {

struct Analysis {
  Track track;
  CleanReport clean;
  SmoothedTrack smoothed;          // one a fix of `track`
  std::vector<Flight> flights;     // in order of time; may be none
  std::vector<FoundFlight> found;  // one a flight: where it lies in the track
  std::vector<std::string> paths;  // one a flight: encode_path of it, seconds counted from its launch
  std::vector<std::string> notes;  // sentences: what was dropped, refused or doubted of the recording as a whole
};

// Memory used again from recording to recording. Hand an analysis that is done with back to save its memory too.
class Workspace {
 public:
  void give_back(Analysis&& done) {
    track = std::move(done.track);
    smoothed = std::move(done.smoothed);
    clean_report = std::move(done.clean);
  }
  CleanScratch clean_scratch;
  FlightSearch search;
  Track track;
  SmoothedTrack smoothed;
  CleanReport clean_report;
};

// Errors are those of clean(): no fixes, no times, nothing usable. Without a geoid, heights above the ellipsoid give no
// heights above sea level. The same recording and geoid give the same answer, whatever the workspace held.
[[nodiscard]] Result<Analysis> analyse(const Recording& recording, const Geoid* geoid, Workspace& reuse);
// The same; the recording's fixes are given up as soon as the track is made of them, which halves the memory of a long one.
[[nodiscard]] Result<Analysis> analyse_giving_up_fixes(Recording& recording, const Geoid* geoid, Workspace& reuse);

}  // namespace headroom

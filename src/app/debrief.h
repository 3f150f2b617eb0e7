#pragma once
// After a flight: recordings in, what happened out, the book written, and what has become thin because of it.
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/access.h"
#include "core/learn/learned.h"
#include "core/margin.h"
#include "core/track/analyse.h"
#include "core/track/detail.h"
#include "core/track/flight.h"
#include "core/track/recording.h"

namespace headroom {

struct DebriefRequest {
  std::vector<std::string> paths;
  std::vector<std::string> names = {};  // what their owner calls them, in the order of the paths; empty: as the paths are
  bool write = true;                    // off: look only
  bool simulated_book = false;          // a fresh book made now is an invented one
  int offset_min = 0;                   // of the owner's zone now, for the entries
  bool keep_track = false;              // hand the whole analysis back with each file
};

struct DebriefedFlight {
  Flight flight;
  FlightDetail detail;                // fix by fix only with keep_track
  std::vector<UsualOfMeasure> usual;  // its measures beside what was learned from the flights before it; only of one in the book
  EntryId entry;                      // all zero when not written
  std::optional<EntryId> same_as;     // another recorder of this flight is in the book: it counts, this one does not
};

struct DebriefedFile {
  std::string path;
  std::optional<Error> error;  // nothing of this file was written
  Hash recording;
  std::uint64_t bytes = 0;
  std::string format;
  LineAccount account;
  std::vector<Warning> warnings;
  CleanReport cleaned;
  std::vector<std::string> notes;  // of the analysis
  std::vector<DebriefedFlight> flights;
  std::shared_ptr<const Analysis> analysis;  // only with keep_track
  bool already_in_book = false;              // read again, not written again
  bool simulated = false;
};

struct DebriefAnswer {
  std::vector<DebriefedFile> files;
  std::vector<std::string> assumed;  // what a fresh book had to assume
  std::vector<Margin> newly_thin;    // because of what was written now
  bool written = false;              // something was
};

// Each file is one transaction: the recording, its entry and its flights, or nothing of it. A file that cannot be read
// carries its error and the others go on; an error of the book itself ends the call.
[[nodiscard]] Result<DebriefAnswer> debrief(const DebriefRequest& request, Ports& ports);

}  // namespace headroom

#pragma once
// An invented season as a folder: recordings, a simulated book in which they are debriefed among the owner's own entries, and
// the truth that they came from. Told in docs/simulated-season.md.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/access.h"

namespace headroom {

struct DemoRequest {
  std::string folder;          // made if it is not there
  std::optional<UtcTime> end;  // nothing happens from this day on; absent: today by the clock
  std::uint64_t seed = 26;
};

struct DemoFlight {
  std::string path;             // of the recording
  UtcTime launch{}, landing{};  // truth
  // As debriefed; absent when no flight or several were found.
  std::optional<UtcTime> found_launch, found_landing;
};

struct DemoAnswer {
  std::vector<DemoFlight> flights;
  std::uint64_t entries = 0;  // written by hand, so to speak; debriefing wrote its own beside them
  std::string book;           // its place
  std::string recordings;     // folder of the IGC files
  std::string truth;          // file
};

inline constexpr const char* kDemoSentence = "Simulated: pilot, machine, place, flights and figures are invented.";

// Writes FOLDER/recordings/NN.igc and FOLDER/truth-simulated.csv, and fills the book that `ports` gives access to, which
// must be empty or not there yet (FOLDER/book.db by the command). Errors: refused when the book holds entries or when stopped.
[[nodiscard]] Result<DemoAnswer> make_demo(const DemoRequest& request, Ports& ports);

}  // namespace headroom

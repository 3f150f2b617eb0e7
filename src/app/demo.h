#pragma once
// An invented season as a folder: recordings, a simulated book in which they are debriefed among the owner's own entries (all
// but the last, which is left to whoever opens it), and
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
  int number = 0;               // of the flight; two recordings of one flight have the same
  std::string path;             // of the recording
  UtcTime launch{}, landing{};  // truth
  bool begins_in_air = false;   // the recorder was switched on after launch
  // As debriefed; absent when the recording was left, or when not as many flights were found in it as there are.
  std::optional<UtcTime> found_launch, found_landing;
};

struct DemoAnswer {
  std::vector<DemoFlight> flights;      // in the order of the recordings; more than `flown` where one was recorded twice
  std::vector<std::string> recordings;  // files, rides among them, in order
  std::size_t flown = 0;                // different flights
  std::size_t rides = 0;                // recordings of a ride by car alone
  std::size_t recorded_twice = 0;       // flights
  std::size_t left_on = 0;              // recordings that go on over a second flight or a ride
  std::size_t begun_in_air = 0;
  std::string left;           // the last recording, which is not in the book yet
  std::uint64_t entries = 0;  // written by hand, so to speak; debriefing wrote its own beside them
  std::string book;           // its place
  std::string folder;         // of the recordings
  std::string truth;          // file
};

inline constexpr const char* kDemoSentence = "Simulated: pilot, machine, place, flights and figures are invented.";

// Writes FOLDER/recordings/NN.igc and FOLDER/truth-simulated.csv, and fills the book that `ports` gives access to, which
// must be empty or not there yet (FOLDER/book.db by the command). Errors: refused when the book holds entries or when stopped.
[[nodiscard]] Result<DemoAnswer> make_demo(const DemoRequest& request, Ports& ports);

}  // namespace headroom

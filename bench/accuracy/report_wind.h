#pragma once
#include <cstdint>
#include <filesystem>

namespace headroom::accuracy {

// Prints the wind part: simulated mix, then real files with a recorded wind. `flights` of each habit and recorder.
// Returns the number of targets missed.
int report_wind(const std::filesystem::path& recordings, std::uint64_t first_seed, int flights);

}  // namespace headroom::accuracy

#pragma once
#include <cstdint>
#include <filesystem>

namespace headroom::accuracy {

// Prints the engine part: simulated powered paragliders by programme, vertical air and recorder; the real recordings. Beside each
// the plain methods: "on while the climb over 10 s exceeds 0.3 m/s", and "never on". Returns the number of targets missed.
int report_engine(const std::filesystem::path& recordings, std::uint64_t first_seed, int flights);

}  // namespace headroom::accuracy

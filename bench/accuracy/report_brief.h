#pragma once
// How far what the brief states holds: run length, burn, endurance, chance of not clearing, times of the sun.
#include <cstdint>

namespace headroom::accuracy {

// Invented owners, six for each flight asked for. The number of figures worse than their floor. Method:
// docs/analysis/calibration.md.
[[nodiscard]] int report_brief(std::uint64_t first_seed, int flights);

}  // namespace headroom::accuracy

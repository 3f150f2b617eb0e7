#pragma once
#include <cstdint>

namespace headroom::accuracy {

// Prints how well launch and landing are timed and the room used measured, on simulated launches by shape of run and recorder;
// beside it a speed threshold. Returns the number of targets missed.
int report_lift_off(std::uint64_t first_seed, int flights);

}  // namespace headroom::accuracy

#pragma once
#include <cstdint>

namespace headroom::accuracy {

// Prints how far climb and sink are from what the simulated machine does in still air, and how often their 90 % intervals hold
// it, beside the plain mean of all climbing and of all sinking. Returns the number of targets missed.
int report_measures(std::uint64_t first_seed, int flights);

}  // namespace headroom::accuracy

#pragma once
// IGC text of an invented recording. Only simulated recordings are written: a file of ours must never pass for a real one.
// Form: FAI IGC technical specification for GNSS flight recorders, appendix A (records A, H, I, B, L; CR LF).
#include <string>

#include "core/result.h"
#include "core/track/recording.h"

namespace headroom {

struct IgcWriteOptions {
  std::string pilot = "invented pilot";        // ASCII; header HFPLT
  std::string aircraft = "invented aircraft";  // header HFGTY
  bool long_date = false;                      // HFDTEDATE:DDMMYY,01 instead of HFDTEDDMMYY
};

// The file. It says SIMULATED in its A record, in the header HFFTYFRTYPE:SIMULATED and in its first L record; a reader that
// meets the word in HFFTY sets Recording::simulated. Positions are rounded to 0.001 minute (1.85 m of latitude, so at most
// 0.93 m off), heights to 1 m; a missing height is written 00000. Channels become I columns of 3 digits for ENL, 5 for RPM.
// Errors: refused when the recording is not simulated; bad_input for no fix, a fix without time, a time outside 1970 to 2069
// or a height that five places cannot hold, another channel or a channel value that its column cannot hold.
[[nodiscard]] Result<std::string> write_simulated_igc(const Recording& recording, const IgcWriteOptions& options = {});

}  // namespace headroom

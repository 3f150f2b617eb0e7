#pragma once
// Height of the geoid over the ellipsoid, from a grid that arrives as bytes, and heights above mean sea level from what a
// recorder wrote.
#include <optional>
#include <string>

#include "core/earth/position.h"
#include "core/result.h"
#include "core/track/recording.h"
#include "core/units.h"

namespace headroom {

// An undulation grid in the NOAA VDatum "gtx" form: big-endian; latitude and longitude of the south-west node and their
// steps as float64 degrees, rows and columns as int32, then float32 metres row by row from the south.
// Accuracy with egm96_15.gtx (EGM96, 15' steps; NASA/TP-1998-206861): bilinear interpolation within 0.1 m of the published
// spline at most places, 0.15 m over the steepest mountains; EGM96 itself about 0.5 m.
class Geoid {
 public:
  // Takes the file's bytes. Error bad_input when they are not a whole gtx grid that covers the globe.
  static Result<Geoid> from_gtx(std::string bytes);
  // N, so that height above the ellipsoid = height above the geoid + N. Longitude may be any finite number of degrees; a
  // latitude beyond +-90 gives nothing.
  [[nodiscard]] std::optional<Length> undulation(GeoPosition p) const;

 private:
  [[nodiscard]] double node(int row, int column) const;
  std::string bytes_;
  double latitude_0_ = 0, longitude_0_ = 0, latitude_step_ = 0, longitude_step_ = 0;
  int rows_ = 0, columns_ = 0;
};

// H = h - N for a height over the ellipsoid; as written for one over the geoid. When the datum is not stated the written
// value is taken as it stands (most recorders that state nothing write heights over the geoid, though the IGC standard's
// default is the ellipsoid: common practice, no source), and datum_doubt() says by how much that may be wrong.
// Nothing when an ellipsoid height meets no geoid.
[[nodiscard]] std::optional<AltitudeMsl> altitude_msl(GnssHeight height, HeightDatum datum, GeoPosition at, const Geoid* geoid);

// The sentence that goes with heights of that datum; empty when there is nothing to doubt.
[[nodiscard]] std::string datum_doubt(HeightDatum datum, GeoPosition at, const Geoid* geoid);

}  // namespace headroom

#pragma once
// Position, velocity and climb with their covariance at every fix, from the whole track at once: a Kalman filter forward
// and a Rauch-Tung-Striebel pass backward. Equations and notation: docs/analysis/track.md.
// Sources: Rauch, Tung, Striebel, Maximum likelihood estimates of linear dynamic systems, AIAA J. 3 (1965) 1445-1450;
// Bar-Shalom, Li, Kirubarajan, Estimation with Applications to Tracking and Navigation (2001), sec. 5.2, 6.2.2, 8.6 (citations
// from memory).
#include <vector>

#include "core/earth/position.h"
#include "core/track/clean.h"
#include "core/units.h"

namespace headroom {

// A double kept in four bytes: covariances are known to a few digits, and long recordings hold nine of them a fix.
class KeptReal {
 public:
  constexpr KeptReal(double value = 0) : value_(static_cast<float>(value)) {}
  constexpr operator double() const { return static_cast<double>(value_); }

 private:
  float value_;
};

// Symmetric 2 x 2 covariance of (position [m], velocity [m/s]) along one axis, to seven digits.
struct AxisCovariance {
  KeptReal position, cross, velocity;
};

// One axis of height: value and rate, of one kind of height (its zero is that of the fixes). `known` is false where the
// stretch between two gaps holds no such height.
struct SmoothedHeight {
  double height_m = 0, rate_m_s = 0;
  AxisCovariance covariance;
  bool known = false;
};

struct SmoothedFix {
  GeoPosition position;
  double east_m_s = 0, north_m_s = 0;
  AxisCovariance horizontal;  // the same for east and north, which are independent of each other
  SmoothedHeight gnss, pressure;
};

// What was assumed of one kind of measurement, estimated from the track.
struct AxisNoise {
  double measurement_variance_m2 = 0;     // r: of one fix, about the receiver's own slowly wandering solution
  double acceleration_density_m2_s3 = 0;  // q: spectral density of the white acceleration
};

struct SmoothedTrack {
  std::vector<SmoothedFix> fixes;  // one a fix of the track
  AxisNoise horizontal, gnss, pressure;
  std::size_t doubted = 0;  // horizontal measurements beyond 4 sigma, given less weight
  // Covariances of the filter with all their digits, one axis at a time: used again from call to call, given up when large.
  struct Filtered {
    double position, cross, velocity;
  };
  std::vector<Filtered> filtered;
};

// Stretches further apart than this are smoothed each for itself: nothing is known across.
inline constexpr double kSmoothGap_s = 60;

// Works inside `out`: the filtered states are overwritten by the smoothed ones; beside the result stand 24 bytes a fix while
// one axis is worked on.
void smooth(const Track& track, SmoothedTrack& out);
// The same with the noise given instead of estimated (tests, comparisons).
void smooth(const Track& track, const AxisNoise& horizontal, const AxisNoise& gnss, const AxisNoise& pressure,
            SmoothedTrack& out);

// The estimate of r and q for a series at (nearly) equal steps of dt seconds, from the covariance of its second
// differences at lag 0 and 1: for a constant-velocity motion with white acceleration seen in white noise
//   c0 = 6 r + 2/3 q dt^3,  c1 = -4 r + 1/6 q dt^3   so   r = (c0 - 4 c1) / 22,  q = 1.5 (c0 - 6 r) / dt^3
// Values beyond 5 robust standard deviations are left out. `quantum` is the step the recorder rounds to: r is at least the
// variance of that rounding, quantum^2 / 12 (Bennett, Bell System Technical Journal 27 (1948) 446).
class NoiseEstimator {
 public:
  void clear() { differences_.clear(); }
  void add_second_difference(double d, bool follows) { differences_.push_back({d, follows}); }
  [[nodiscard]] AxisNoise estimate(double dt, double quantum) const;

 private:
  struct Difference {
    double value;
    bool follows;  // the one before it in the list is one step earlier
  };
  std::vector<Difference> differences_;
};

}  // namespace headroom

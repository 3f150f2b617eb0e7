#include "core/simulate/ride.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace headroom::simulate {
namespace {

// A car driven with care (common practice, no source).
constexpr double kAccelerate = 1.4;    // m/s2
constexpr double kBrake = 1.8;         // m/s2
constexpr double kTightest = 11.0;     // m, radius of a turn
constexpr double kAcrossAtMost = 2.5;  // m/s2
constexpr double kSeatHeight = 1.2;    // m
constexpr double kLongestRide = 6 * 3600;

class Driver {
 public:
  explicit Driver(const RideScript& script) : script_(script), chance_(script.seed, 17) {
    east_ = script.start_east_m, north_ = script.start_north_m;
    ride_.script.seed = script.seed;
    ride_.script.begin = script.begin;
    ride_.script.site = script.site;
    ride_.script.air = script.air;
    ride_.script.start_east_m = east_;
    ride_.script.start_north_m = north_;
  }

  Result<SimulatedFlight> drive() {
    keep();
    park(in_seconds(script_.parked_before));
    if (!script_.road.empty()) heading_ = bearing(script_.road.front());
    for (std::size_t i = 0; i < script_.road.size(); ++i)
      if (!drive_to(i)) return fail(ErrorKind::out_of_range, "the ride does not arrive", "point " + std::to_string(i + 1));
    park(in_seconds(script_.parked_after));
    return std::move(ride_);
  }

 private:
  [[nodiscard]] double bearing(const RoadPoint& p) const { return std::atan2(p.east_m - east_, p.north_m - north_); }
  [[nodiscard]] double time() const { return static_cast<double>(count_) * kTruthInterval; }

  void keep() {
    TruthStep s;
    s.time_s = time();
    s.east_m = east_, s.north_m = north_;
    const double ground = ground_height_m(script_.site, east_, north_);
    s.height_msl_m = ground + kSeatHeight;
    s.height_above_ground_m = kSeatHeight;
    s.velocity_east_m_s = speed_ * std::sin(heading_), s.velocity_north_m_s = speed_ * std::cos(heading_);
    s.density_kg_m3 = density_at(script_.air, AltitudeMsl::from_si(s.height_msl_m)).si();
    s.stage = speed_ > 0 ? Stage::riding : Stage::standing;
    ride_.truth.steps.push_back(s);
  }
  void advance() {
    east_ += speed_ * std::sin(heading_) * kTruthInterval;
    north_ += speed_ * std::cos(heading_) * kTruthInterval;
    ++count_;
    keep();
  }
  void park(double for_s) {
    speed_ = 0;
    for (const double until = time() + for_s; time() < until;) advance();
  }

  bool drive_to(std::size_t i) {
    const RoadPoint& to = script_.road[i];
    const bool halts = i + 1 == script_.road.size() || to.stop > Duration{};
    // How fast the bend behind the point may be taken.
    double through = 0;
    if (!halts) {
      const RoadPoint& next = script_.road[i + 1];
      const double turn = std::abs(
          std::remainder(std::atan2(next.east_m - to.east_m, next.north_m - to.north_m) - bearing(to), 2.0 * std::numbers::pi));
      through = std::min(in_metres_per_second(to.speed), std::sqrt(kAcrossAtMost * kTightest / std::max(turn / 1.6, 0.05)));
    }
    for (;;) {
      if (time() > kLongestRide) return false;
      const double away = std::hypot(to.east_m - east_, to.north_m - north_);
      if (away < std::max(halts ? 3.0 : 8.0, 0.5 * speed_)) break;
      const double wish = in_metres_per_second(to.speed) + pace_.step(kTruthInterval, 15, 1.0, chance_);
      const double goal = std::max(1.5, std::min(wish, std::sqrt(through * through + 2.0 * kBrake * std::max(away - 4.0, 0.0))));
      speed_ += std::clamp(goal - speed_, -1.3 * kBrake * kTruthInterval, kAccelerate * kTruthInterval);
      const double sharpest = std::min(speed_ / kTightest, kAcrossAtMost / std::max(speed_, 0.5)) * kTruthInterval;
      heading_ += std::clamp(std::remainder(bearing(to) - heading_, 2.0 * std::numbers::pi), -sharpest, sharpest);
      advance();
    }
    if (halts) park(in_seconds(to.stop));
    return true;
  }

  const RideScript& script_;
  Pcg32 chance_;
  GaussMarkov pace_;
  SimulatedFlight ride_;
  double east_ = 0, north_ = 0, heading_ = 0, speed_ = 0;
  long count_ = 0;
};

}  // namespace

Result<SimulatedFlight> simulate_ride(const RideScript& script) {
  if (script.road.empty()) return fail(ErrorKind::bad_input, "a ride needs a road");
  return Driver(script).drive();
}

}  // namespace headroom::simulate

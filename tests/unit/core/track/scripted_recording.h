#pragma once
// Recordings made to order: legs of known motion, sampled once a second by a receiver with known errors. Invented places.
#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include "core/earth/geodesy.h"
#include "core/track/recording.h"

namespace headroom::test {

class ScriptedRecording {
 public:
  explicit ScriptedRecording(unsigned seed = 1, double start_height_m = 100) : chance_(seed), height_(start_height_m) {
    recording_.format = "scripted";
    recording_.gnss_datum = HeightDatum::geoid;
  }
  struct Velocity {
    double east = 0, north = 0, up = 0;
  };
  // `seconds` of motion; the law sees the time since the leg began.
  ScriptedRecording& leg(double seconds, const std::function<Velocity(double)>& law) {
    for (int i = 0; i < static_cast<int>(seconds); ++i) {
      const Velocity v = law(i);
      east_ += v.east;
      north_ += v.north;
      height_ += v.up;
      ++t_s_;
      if (recording_on_) fix();
    }
    return *this;
  }
  ScriptedRecording& leg(double seconds, Velocity v) {
    return leg(seconds, [v](double) { return v; });
  }
  ScriptedRecording& off() {
    recording_on_ = false;
    return *this;
  }
  ScriptedRecording& on() {
    recording_on_ = true;
    return *this;
  }

  // Standing or walking about with the wing; a powered take-off run of 8 s; climb and descend by powered paraglider; landing.
  ScriptedRecording& stand(double seconds) { return leg(seconds, Velocity{}); }
  ScriptedRecording& take_off() {
    return leg(8, [](double t) { return Velocity{0.7 * t, 0, 0}; });
  }
  ScriptedRecording& climb(double seconds) {
    return leg(seconds, [](double t) {
      return Velocity{10 * std::cos(t / 40), 10 * std::sin(t / 40), 2 + 0.5 * std::sin(t / 7)};
    });
  }
  ScriptedRecording& descend(double seconds) {
    return leg(seconds, [](double t) {
      return Velocity{9 * std::cos(t / 50), -9 * std::sin(t / 50), -1.6 + 0.4 * std::sin(t / 6)};
    });
  }
  [[nodiscard]] double height() const { return height_; }
  [[nodiscard]] UtcTime now() const { return start() + std::chrono::seconds(t_s_); }
  [[nodiscard]] static UtcTime start() { return utc(2026, 5, 2, 7); }
  Recording recording_;
  bool pressure_ = true;

 private:
  void fix() {
    std::normal_distribution<double> normal;
    // Receiver errors: a wander of 1.5 m over about a minute (heights twice that) and 0.3 m from fix to fix.
    for (int k = 0; k < 3; ++k) wander_[k] = 0.983 * wander_[k] + 0.183 * (k == 2 ? 3 : 1.5) * normal(chance_);
    Fix f;
    f.time = now();
    const MetresPerDegree m = metres_per_degree(46);
    f.position = {46 + (north_ + wander_[1] + 0.3 * normal(chance_)) / m.north,
                  7 + (east_ + wander_[0] + 0.3 * normal(chance_)) / m.east};
    // As IGC writes it: 0.001 minute, whole metres.
    f.position.latitude_deg = std::round(f.position.latitude_deg * 60000) / 60000;
    f.position.longitude_deg = std::round(f.position.longitude_deg * 60000) / 60000;
    f.gnss_height = GnssHeight::from_si(std::round(height_ + wander_[2] + 0.5 * normal(chance_)));
    f.has_gnss_height = true;
    f.has_pressure_altitude = pressure_;
    if (pressure_) f.pressure_altitude = PressureAltitude::from_si(std::round(height_ - 60 + 0.3 * normal(chance_)));
    f.line = static_cast<std::uint32_t>(recording_.fixes.size() + 1);
    recording_.fixes.push_back(f);
  }
  std::mt19937 chance_;
  double east_ = 0, north_ = 0, height_;
  double wander_[3] = {};
  long t_s_ = 0;
  bool recording_on_ = true;
};

}  // namespace headroom::test

#pragma once
// The invented air: pressure and density by height, mean wind by height, gusts, and vertical air. Part of the simulator:
// shares no code with what estimates wind or density from a recording.
#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/simulate/random.h"
#include "core/units.h"

namespace headroom::simulate {

// Rising air inside a circle that drifts with the mean wind; a Gaussian of the distance from its axis.
struct Thermal {
  double east_m = 0, north_m = 0;  // where its axis is at time 0
  Speed strength;                  // on the axis
  Length radius;                   // where it has fallen to exp(-1)
};

// Another air mass above: a sea breeze at the ground under the wind of the day, a night's cold air under moving air.
struct UpperWind {
  Speed speed;
  WindFrom from;
  Length base;  // above ground: below it the wind of the surface alone
  Length mix;   // over this much height it gives way to the upper wind, in proportion
};

struct AirScript {
  Speed wind_10m;                  // mean, 10 m above ground
  WindFrom from;                   // at 10 m
  double shear_exponent = 0.18;    // power law: W(h) = W(10 m) (h / 10 m)^exponent, held below 1 m and above 600 m
  double veer_deg_per_100m = 2.5;  // turns clockwise with height, up to 600 m
  std::optional<UpperWind> upper;
  Speed drift = metres_per_second(0.5);     // slow wandering of each component of the mean
  Duration drift_time = seconds(900);       // its correlation time
  double gustiness = 1.0;                   // times the standard deviation of the Dryden model below
  Speed vertical = metres_per_second(0.3);  // air moving up and down over hundreds of metres, standard deviation
  Duration vertical_time = seconds(25);     // its correlation time
  std::vector<Thermal> thermals;            // beside that
  Pressure qnh = hectopascals(1013.25);     // at mean sea level
  TemperatureDifference warmer{};           // than the standard atmosphere at every height
};

struct AirMotion {
  double east_m_s = 0, north_m_s = 0, up_m_s = 0;
};

// Density at a height above mean sea level [kg/m3]: hydrostatic air of constant lapse rate 6.5 K/km under `qnh`.
// Constants of ISO 2533:1975; dry air; meant for -500 to 6000 m.
[[nodiscard]] Density density_at(const AirScript& script, AltitudeMsl height);
// What a perfect altimeter set to 1013.25 hPa shows there. Same source and range.
[[nodiscard]] PressureAltitude pressure_altitude_at(const AirScript& script, AltitudeMsl height);
// Mean wind by the power law, the veer and the upper wind alone, as motion of the air (towards).
[[nodiscard]] AirMotion mean_wind(const AirScript& script, double height_above_ground_m);

// Gusts: the Dryden form for low altitude, MIL-F-8785C (1980) section 3.7.3.4 and its appendix (values from memory; the
// variance is tested). h in feet, held within 10 and 1000 ft; W20 the mean wind at 20 ft:
//   L_w = h,  L_u = L_v = h / (0.177 + 0.000823 h)^1.2,  sigma_w = 0.1 W20,  sigma_u = sigma_v = sigma_w / (0.177 + 0.000823
//   h)^0.4
// u along the mean wind is of first order, v and w of second order.
class Air {
 public:
  Air(const AirScript& script, std::uint64_t seed);
  // Motion of the air met there, after `dt_s` flown at `airspeed_m_s` since the last call.
  AirMotion step(double dt_s, double time_s, double east_m, double north_m, double height_above_ground_m, double airspeed_m_s);

 private:
  // (1 + sqrt(3) T s) / (1 + T s)^2 driven by white noise, unit variance.
  struct SecondOrder {
    double first = 0, second = 0;
    double step(double dt_s, double time_s, Pcg32& chance);
  };
  AirScript script_;
  Pcg32 chance_;
  GaussMarkov along_, drift_east_, drift_north_, vertical_;
  SecondOrder across_, up_;
};

}  // namespace headroom::simulate

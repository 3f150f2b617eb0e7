#pragma once
// Figures brought from the air and mass they were flown with to standard ones: density rho0 = 1.225 kg/m3 and a reference mass.
// Notation: sigma density over rho0; k reference mass over all-up mass as flown (1 when masses are not known).
// The wing flies at one lift coefficient: V = sqrt(2 m g / (rho S C_L)). Source: FAA-H-8083-29 ch. 2; aerodynamics textbooks.
namespace headroom {

//   V_standard = V sqrt(sigma k); the same for a sink rate, for the glide through the air does not change.
[[nodiscard]] double standard_speed(double speed_m_s, double sigma, double k);

// Climb by excess power, w = V (T/(m g) - 1/E), with E the glide ratio. The thrust of an engine that breathes the air about it
// goes with its density:
//   w_standard = V sqrt(sigma k) ((w/V + 1/E) / (sigma k) - 1/E)
[[nodiscard]] double standard_climb(double climb_m_s, double speed_m_s, double glide, double sigma, double k);

}  // namespace headroom

#pragma once
// One of every kind, with every member set to something that is not its default: invented values.
#include <vector>

#include "core/book/facts.h"

namespace headroom {

inline EntryId sample_id(std::uint8_t n) {
  std::array<std::uint8_t, 10> bytes{};
  bytes.fill(n);
  return EntryId::make(utc(2026, 1, 1), bytes);
}
inline Hash sample_hash(std::uint8_t n) {
  Hash hash;
  hash.bytes.fill(n);
  return hash;
}

inline FlightSummary sample_summary() {
  FlightSummary s;
  s.air_time = minutes(61.5);
  s.track_length = kilometres(38.25);
  s.farthest_distance = kilometres(9.1);
  s.farthest_point = {10.25, -20.5};
  s.launch_height = AltitudeMsl::from_si(412.5);
  s.landing_height = AltitudeMsl::from_si(411);
  s.highest = AltitudeMsl::from_si(980);
  s.lowest = AltitudeMsl::from_si(405);
  s.highest_pressure = PressureAltitude::from_si(905);
  s.lowest_pressure = PressureAltitude::from_si(330);
  s.height_gained = metres(1240);
  s.climb_5 = metres_per_second(-1.75);
  s.climb_50 = metres_per_second(0.125);
  s.climb_95 = metres_per_second(2.25);
  s.ground_speed_50 = metres_per_second(10.5);
  s.ground_speed_95 = metres_per_second(15);
  s.ground_speed_highest = metres_per_second(17.5);
  return s;
}

inline std::vector<FlightMeasure> sample_measures() {
  FlightMeasure room;
  room.kind = MeasureKind::room_used;
  room.as_flown = {Dimension::length, 21.5, 24, 27.25, measured(), {}};
  room.learnable = true;
  room.density_ratio = 0.9375;
  room.headwind_m_s = 2.5;
  FlightMeasure climb;
  climb.kind = MeasureKind::climb_rate;
  climb.as_flown = {Dimension::climb, 1.25, 1.5, 1.75, measured(), {}};
  climb.standard = Amount{Dimension::climb, 1.5, 1.75, 2, learned_from(4), "at sea level"};
  climb.learnable = true;
  climb.density_ratio = 0.9375;
  FlightMeasure glide;
  glide.kind = MeasureKind::glide;
  glide.as_flown = unknown_amount(Dimension::none, "no straight stretch");
  glide.remark = "idle or off";
  return {room, climb, glide};
}

inline FlightEntry sample_flight() {
  FlightEntry f;
  f.recording = sample_hash(7);
  f.machine = sample_id(1);
  f.pilot = sample_id(2);
  f.launch = utc(2026, 5, 2, 7, 10, 30);
  f.landing = utc(2026, 5, 2, 8, 12, 0, 250);
  f.begins_in_air = true;
  f.ends_in_air = true;
  f.air_time = minutes(61.5);
  f.running_time = Estimate<Duration>{minutes(50), minutes(58), minutes(66), learned_from(3), "from the air time"};
  f.launches = 2;
  f.analysis_version = 1;
  f.summary = sample_summary();
  f.measures = sample_measures();
  f.doubts = {"the recording begins in the air", "two fixes were dropped"};
  f.has_positions = true;
  f.private_launch = {10.125, -20.25};
  f.private_landing = {10.1255, -20.2505};
  f.private_path = "thin path";
  return f;
}

inline std::vector<Facts> sample_facts() {
  std::vector<PlainFacts> plain{
      MachineRegistered{true, "Magpie \"II\""},
      PilotRegistered{true, kilograms(82.5), "N. N."},
      PartRegistered{"wing", utc(2023, 4, 1), utc(2024, 5, 1), hours(1), hours(12), hours(3), 20, true, "the red one"},
      PartFitted{sample_id(3), sample_id(1)},
      PartRemoved{sample_id(3), "wet"},
      ServiceLineSet{"plug", "Spark plug: renew", "engine", hours(25), hours(20), days(365), 60, true, true, "common practice"},
      ServiceDone{"plug", sample_id(3), "gap 0.5 mm"},
      CounterRead{sample_id(3), Counter::running, 45000.5},
      CounterRead{std::nullopt, Counter::launches, 31},
      Reading{"head_temperature_highest", 463.15, "K", sample_id(3)},
      PlugRead{PlugColour::dark, true, PlugMixture::rich},
      RecordingAttached{sample_hash(7),
                        123456,
                        "igc",
                        3000,
                        3050,
                        true,
                        {{WarningCode::bad_time, 17, "the clock ran back"}, {WarningCode::no_date, 0, "no date"}},
                        "2026-05-02.igc"},
      sample_flight(),
      Remeasured{sample_id(4), 2, sample_summary(), sample_measures()},
      EngineRun{sample_id(1), minutes(5), "bench"},
      GroundHandling{sample_id(1), minutes(40)},
      FuelMixed{litres(10), 50.0, litres(0.2), "old can"},
      FuelFilled{litres(6), litres(9.5)},
      FuelLeft{litres(3.25)},
      Finding{true, sample_id(3), "crack in the left arm"},
      FindingClosed{sample_id(5), "welded"},
      Alteration{"jet", sample_id(3), "one size up"},
      MoneySpent{-1999, "EUR", "spark plugs"},
      DrillPractised{"reserve", "hung in the shed"},
      RunMeasured{sample_id(1), sample_id(2), metres(32), 40, metres_per_second(-1.5), kelvins(291.5), AltitudeMsl::from_si(420),
                  -0.02, Surface::wet_grass, kilograms(121.5), true, "ran out of breath"},
      FieldDescribed{sample_id(6),
                     AltitudeMsl::from_si(410),
                     {{"09",
                       92.5,
                       metres(180),
                       0.02,
                       FieldSurface::short_grass,
                       {{ObstacleKind::trees, metres(230), metres(12.5)}},
                       utc(2026, 1, 9)},
                      {"27", 272.5, metres(160), -0.02, FieldSurface::unsaid, {}, std::nullopt}},
                     "the long meadow",
                     GeoPosition{10.125, -20.25},
                     "slopes west",
                     "stubble to the north"},
      CheckDone{"leg_straps", "done"},
      Setting{"units", "metric"},
      Note{"line\nbreak, tab\t, quote \", backslash \\, umlaut \xc3\xa4, \xf0\x9f\xaa\x82"},
      PhotoAttached{sample_hash(8), 4096, sample_id(5), "before"},
      Voided{sample_id(5), "entered twice"},
  };
  std::vector<Facts> all(plain.begin(), plain.end());
  all.emplace_back(Amended{sample_id(4), "wrong machine", utc(2026, 5, 2, 7), EntryKind::flight, sample_flight()});
  all.emplace_back(Amended{sample_id(4), "the day before", utc(2026, 5, 1, 7), std::nullopt, UnknownFacts{}});
  return all;
}

}  // namespace headroom

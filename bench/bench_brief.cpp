// A whole brief from a state in memory: every margin of a day with a field of two strips, weather and a route, on a book of forty
// flights with their measures and fills. Invented.
#include <benchmark/benchmark.h>

#include "core/machine/figures.h"
#include "core/planning/brief.h"
#include "support/book_builder.h"

namespace headroom {
namespace {

const State& season_state() {
  static const State state = [] {
    testing::BookBuilder b;
    const UtcTime begin = utc(2027, 4, 1, 8);
    b.own_machine(begin);
    PilotRegistered pilot;
    pilot.mass = kilograms(78);
    b.pilot = b.say(begin, pilot);
    const auto figure = [&](const MachineFigure& f, double value) {
      b.say(begin, Reading{std::string(f.key), value, std::string(f.unit), {}});
    };
    figure(figure::machine_mass, 31);
    figure(figure::wing_mass, 6);
    figure(figure::wing_area, 26);
    figure(figure::static_thrust, 560);
    figure(figure::wing_least, 90);
    figure(figure::wing_most, 140);
    figure(figure::reserve_most, 140);
    for (int k = 0; k < 40; ++k) {
      const UtcTime at = begin + std::chrono::hours(48 * k);
      auto f = b.flight_of(at, minutes(35 + k));
      const auto measure = [&](MeasureKind kind, double low, double mid, double high) {
        FlightMeasure m;
        m.kind = kind;
        m.as_flown = {measure_dimension(kind), low, mid, high, measured(), {}};
        m.learnable = true;
        m.density_ratio = 0.98;
        m.headwind_m_s = 1.0 + 0.05 * k;
        f.measures.push_back(m);
      };
      measure(MeasureKind::room_used, 30 + k % 7, 36 + k % 7, 44 + k % 7);
      measure(MeasureKind::lift_off_ground_speed, 6.5, 7.2, 8);
      measure(MeasureKind::trim_airspeed, 10, 10.6, 11.2);
      b.say(at, f);
      b.say(at + std::chrono::hours(3), FuelFilled{litres(2.2 + 0.07 * k), litres(11)});
    }
    b.say(begin + std::chrono::hours(48 * 40), FuelMixed{litres(10), 50.0, {}, {}});
    return b.folded();
  }();
  return state;
}

BriefRequest whole_day(bool with_changes) {
  BriefRequest request;
  request.now = utc(2027, 6, 21, 9);
  request.planned = minutes(40);
  request.with_changes = with_changes;
  auto& day = request.day;
  FieldState field;
  field.name = "Bench meadow";
  field.height = AltitudeMsl::from_si(60);
  field.position = GeoPosition{52.31, 0.42};
  FieldStrip strip{"27", 270, metres(220), 0, FieldSurface::short_grass, {}, utc(2027, 6, 1)};
  strip.obstacles.push_back({ObstacleKind::trees, metres(290), metres(12)});
  FieldStrip other = strip;
  other.name = "09";
  other.towards_deg = 90;
  field.strips = {strip, other};
  day.field = field;
  day.strip = strip;
  day.ground_said = true;
  day.temperature = celsius(18);
  day.dew_point = celsius(9);
  day.qnh = hectopascals(1015);
  const auto wind = [](double from, double mean) {
    DayWind w;
    w.from = wind_from_degrees(from);
    w.mean = {metres_per_second(mean - 1), metres_per_second(mean), metres_per_second(mean + 1), measured(), {}};
    w.source = "typed";
    return w;
  };
  day.wind = wind(260, 3.3);
  day.aloft = wind(270, 5.5);
  day.in_tank = Estimate<Volume>{litres(8.7), litres(9), litres(9.3), measured(), {}};
  day.route = {{"home", {52.31, 0.42}}, {"out", {52.36, 0.50}}, {"home", {52.31, 0.42}}};
  return request;
}

void brief_of_a_whole_day(benchmark::State& state) {
  const auto request = whole_day(state.range(0) != 0);
  const State& book = season_state();
  for (auto _ : state) benchmark::DoNotOptimize(make_brief(book, request));
}
BENCHMARK(brief_of_a_whole_day)->ArgName("sensitivities")->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace headroom

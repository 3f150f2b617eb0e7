#include "core/simulate/season.h"

#include <algorithm>
#include <cmath>

#include "core/book/state.h"

namespace headroom::simulate {
namespace {

// Place: a degree grid reference inland, invented strips. Geoid height there by EGM96 46.07 m.
Site invented_site() {
  return {{52.30, 0.40}, AltitudeMsl::from_si(38), metres(46.07), metres(6)};
}
struct Strip {
  double east_m = 0, north_m = 0;
};
constexpr int kAlterationDay = 42;  // before the end: the propeller is cleaned up
constexpr Strip kHome{0, 0};
constexpr Strip kOther{9800, 6200};

enum class Style { circuits, local, triangle, outward, homeward, engine_off };

// One flight of the season: when, in what air, how flown and how recorded.
struct Day {
  int days_before_end, hour, minute;
  Style style;
  double wind_10m, from_deg, gustiness, vertical, qnh_hpa, warmer_k;
  int interval_s;
  EngineColumn engine;
  int unlocked;
  double dropouts_per_hour, repeats_per_hour;
  bool kiting, false_start, reverse;
};
constexpr EngineColumn kNone = EngineColumn::none, kNoise = EngineColumn::noise_level;
constexpr Day kDays[kSeasonFlights] = {
    {88, 9, 40, Style::circuits, 1.2, 250, 1.0, 0.2, 1021, -3, 1, kNone, 4, 0, 0, true, false, false},
    {81, 9, 10, Style::local, 2.6, 230, 1.0, 0.3, 1016, 0, 1, kNone, 0, 1, 1, false, false, false},
    {73, 10, 5, Style::triangle, 2.7, 200, 1.0, 0.4, 1012, 2, 5, kNone, 0, 0, 0, false, false, false},
    {64, 13, 20, Style::local, 3.2, 265, 1.4, 0.6, 1009, 4, 1, kNoise, 6, 0, 2, true, true, true},
    {53, 9, 30, Style::outward, 2.2, 215, 1.0, 0.4, 1018, 1, 1, kNone, 0, 2, 0, false, false, false},
    {53, 12, 45, Style::homeward, 2.6, 235, 1.2, 0.7, 1017, 4, 1, kNone, 0, 0, 0, false, false, true},
    {39, 11, 15, Style::local, 2.6, 180, 1.0, 1.0, 1014, 6, 1, kNoise, 3, 0, 1, false, true, false},
    {25, 9, 50, Style::triangle, 2.0, 70, 1.0, 0.3, 1024, 3, 1, kNone, 0, 1, 0, false, false, false},
    {14, 10, 30, Style::engine_off, 2.3, 110, 1.0, 0.4, 1020, 5, 1, kNoise, 0, 0, 0, false, false, false},
    {6, 10, 20, Style::local, 2.8, 245, 1.2, 0.5, 1011, 2, 5, kNone, 0, 0, 0, true, false, true},
};

// --- the flights ---

class Route {
 public:
  Route(const Day& day, Strip from) : day_(day), at_(from) {}
  std::vector<Leg> legs;

  void launch() {
    // From where the recorder is switched on to the layout, warm-up, then off into the wind.
    legs.push_back({.kind = LegKind::stand, .duration = seconds(50)});
    legs.push_back({.kind = LegKind::walk_to, .east_m = at_.east_m, .north_m = at_.north_m});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(80)});
    if (day_.kiting) legs.push_back({.kind = LegKind::kite, .duration = seconds(140)});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(170), .engine = EngineUse::as_needed});
    if (day_.false_start) {
      legs.push_back({.kind = LegKind::false_start, .heading_deg = day_.from_deg + 8, .distance = metres(5.0)});
      legs.push_back({.kind = LegKind::stand, .duration = seconds(60)});
      legs.push_back({.kind = LegKind::stand, .duration = seconds(25), .engine = EngineUse::idle});
    }
    legs.push_back({.kind = LegKind::take_off, .heading_deg = day_.from_deg, .reverse = day_.reverse});
  }
  void climb(double east, double north, double height, EngineUse engine = EngineUse::full) {
    legs.push_back({.kind = LegKind::climb_to, .east_m = east, .north_m = north, .height = metres(height), .engine = engine});
  }
  void fly(double east, double north, double height, double trim = 1.0) {
    legs.push_back({.kind = LegKind::fly_to,
                    .east_m = east,
                    .north_m = north,
                    .height = metres(height),
                    .engine = EngineUse::as_needed,
                    .trim = trim});
  }
  void circle(double turns, double bank, double height) {
    legs.push_back(
        {.kind = LegKind::circle, .height = metres(height), .bank_deg = bank, .turns = turns, .engine = EngineUse::as_needed});
  }
  void glide(double east, double north, double height, EngineUse engine) {
    legs.push_back({.kind = LegKind::glide_to, .east_m = east, .north_m = north, .height = metres(height), .engine = engine});
  }
  // To a point downwind of the strip at 60 m, then straight in; the glide seldom ends where it was meant to.
  void land(Strip strip, EngineUse engine) {
    const double heading = day_.from_deg * std::numbers::pi / 180;
    const double headwind = day_.wind_10m * 1.25;
    const double back = 60.0 * (engine == EngineUse::off ? 5.6 : 6.6) * (11.0 - headwind) / 11.0;
    const double east = strip.east_m - back * std::sin(heading), north = strip.north_m - back * std::cos(heading);
    fly(east - 350 * std::sin(heading), north - 350 * std::cos(heading), 75);
    fly(east, north, 62);
    legs.push_back({.kind = LegKind::land, .heading_deg = day_.from_deg, .engine = engine});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(45)});
    legs.push_back({.kind = LegKind::walk_to, .east_m = strip.east_m + 30, .north_m = strip.north_m - 25});
    legs.push_back({.kind = LegKind::stand, .duration = seconds(60)});
  }

 private:
  const Day& day_;
  Strip at_;
};

std::vector<Leg> route_of(const Day& day) {
  Route route(day, day.style == Style::homeward ? kOther : kHome);
  route.launch();
  switch (day.style) {
    case Style::circuits:
      route.climb(700, 300, 120);
      for (int i = 0; i < 3; ++i) {
        route.fly(900, 700, 140);
        route.fly(-800, 800, 140);
        route.fly(-700, -700, 130);
        route.fly(800, -600, 130);
      }
      route.land(kHome, EngineUse::idle);
      break;
    case Style::local:
      route.climb(1800, 900, 320);
      route.circle(2, 18, 320);
      route.fly(3200, 2900, 320);
      route.circle(1.5, -22, 320);
      route.fly(-900, 4200, 280);
      route.glide(-2600, 2500, 140, EngineUse::idle);
      route.climb(-3600, 600, 260, EngineUse::as_needed);
      route.fly(-2800, -2600, 240);
      route.fly(600, -3300, 220);
      route.circle(2, 15, 220);
      route.fly(2600, -1500, 200);
      route.land(kHome, EngineUse::idle);
      break;
    case Style::triangle:
      route.climb(2500, 1500, 420);
      route.fly(6800, 3900, 420);
      route.fly(900, 8300, 430, 0.85);
      route.circle(1, 20, 430);
      route.fly(-2900, 2900, 380);
      route.fly(-1200, -2300, 250);
      route.land(kHome, EngineUse::idle);
      break;
    case Style::outward:
      route.climb(1900, 1200, 380);
      route.fly(7400, 4700, 400, 0.82);
      route.fly(11500, 8600, 350, 0.82);
      route.fly(12600, 5200, 250);
      route.circle(1, 20, 250);
      route.land(kOther, EngineUse::idle);
      break;
    case Style::homeward:
      route.climb(8600, 5000, 330);
      route.fly(5200, 5600, 330);
      route.fly(1200, 2300, 280, 0.85);
      route.fly(-1500, 900, 220);
      route.land(kHome, EngineUse::idle);
      break;
    case Style::engine_off:
      route.climb(1500, 1000, 520);
      route.glide(-500, 1800, 160, EngineUse::off);
      route.climb(900, -1400, 480);
      route.glide(1600, 900, 170, EngineUse::off);
      route.fly(2400, -300, 170);
      route.fly(900, -2300, 160);
      route.land(kHome, EngineUse::off);
      break;
  }
  return route.legs;
}

FlightScript script_of(const Day& day, int number, const SeasonRequest& request, UtcTime begin, double fuel_l) {
  FlightScript script;
  script.seed = request.seed * 1000 + static_cast<std::uint64_t>(number);
  script.begin = begin;
  script.site = invented_site();
  script.air.wind_10m = metres_per_second(day.wind_10m);
  script.air.from = wind_from_degrees(day.from_deg);
  script.air.gustiness = day.gustiness;
  script.air.vertical = metres_per_second(day.vertical);
  script.air.qnh = hectopascals(day.qnh_hpa);
  script.air.warmer = kelvins_difference(day.warmer_k);
  if (day.vertical > 0.8) {
    script.air.thermals = {{1900, 1500, metres_per_second(2.2), metres(130)}, {-1500, 3400, metres_per_second(1.6), metres(110)}};
  }
  script.craft.fuel = litres(fuel_l);
  // Hidden: lines shrink and cloth ages, so trim flight slows and glide worsens by the hour; the cleaned propeller pulls more.
  script.craft.lift_coefficient *= 1.0 + 0.004 * number;
  script.craft.drag_at_zero_lift *= 1.0 + 0.003 * number;
  if (day.days_before_end < kAlterationDay) script.craft.static_thrust = newtons(595);
  const Strip strip = day.style == Style::homeward ? kOther : kHome;
  script.start_east_m = strip.east_m + 35;
  script.start_north_m = strip.north_m - 20;
  script.legs = route_of(day);
  return script;
}

Result<SeasonRecording> flown(const Day& day, int number, const SeasonRequest& request, UtcTime begin, double fuel_l) {
  auto flight = simulate_flight(script_of(day, number, request, begin, fuel_l));
  if (!flight) return tl::unexpected(flight.error());
  RecorderModel model;
  model.interval_s = day.interval_s;
  model.engine = day.engine;
  model.unlocked_fixes = day.unlocked;
  model.dropouts_per_hour = day.dropouts_per_hour;
  model.repeated_seconds_per_hour = day.repeats_per_hour;
  model.pressure_offset = metres(number % 2 == 0 ? 6 : -4);
  auto recording = record(*flight, model, flight->script.seed);
  if (!recording) return tl::unexpected(recording.error());
  SeasonRecording out;
  out.name = (number < 10 ? "0" : "") + std::to_string(number) + ".igc";
  out.recording = std::move(*recording);
  out.script = std::move(flight->script);
  out.truth = std::move(flight->truth);
  if (!request.keep_steps) out.truth.steps = {};
  out.long_date = number % 2 == 0;
  return out;
}

// --- what the owner writes ---

class Diary {
 public:
  Diary(const SeasonRequest& request, std::span<const EntryId> ids) : request_(request), ids_(ids), chance_(request.seed, 909) {
    end_ = std::chrono::floor<std::chrono::days>(request.end);
  }

  Result<std::vector<SeasonStep>> write(const std::function<bool(int)>& done) {
    open_book();
    for (int i = 0; i < kSeasonFlights; ++i) {
      if (auto problem = fly(kDays[i], i + 1); !problem) return tl::unexpected(problem.error());
      if (done && !done(i + 1)) return fail(ErrorKind::refused, "stopped before the season was whole");
    }
    enter(when(2, 18, 0), Note{"Simulated: oil for the trip next week is in the shed."});
    return std::move(steps_);
  }

 private:
  [[nodiscard]] EntryId machine() const { return ids_[0]; }
  [[nodiscard]] EntryId pilot() const { return ids_[1]; }
  [[nodiscard]] EntryId part(std::string_view role) const {
    for (std::size_t i = 0; i < kDefaultPartCount; ++i)
      if (kDefaultRoles[i] == role) return ids_[2 + i];
    return {};
  }
  [[nodiscard]] EntryId finding(std::size_t i) const { return ids_[2 + kDefaultPartCount + i]; }
  [[nodiscard]] EntryId field(std::size_t i) const { return ids_[4 + kDefaultPartCount + i]; }
  [[nodiscard]] UtcTime when(int days_before_end, int hour, int minute) const {
    return end_ - std::chrono::days(days_before_end) + std::chrono::hours(hour) + std::chrono::minutes(minute);
  }
  void enter(UtcTime at, PlainFacts facts, EntryId id = {}) { steps_.push_back({at, {}, {id, std::move(facts)}}); }

  // Things move on their own dates: whatever is due to happen before a flight.
  void open_book() {
    const UtcTime first = when(kSeasonDays, 17, 0);
    enter(first, Setting{"book_is", "simulated"});
    enter(first, Note{"Simulated book: pilot, machine, place, flights and figures are invented."});
    enter(first, MachineRegistered{false, "Larkrise 130 (invented)"}, machine());
    enter(first, PilotRegistered{false, kilograms(82), std::string(kInventedPilot)}, pilot());
    struct Row {
      std::string_view role, name;
      int made_days;
      double running_h, air_h;
      int launches;
    };
    static constexpr Row kRows[kDefaultPartCount] = {
        {"engine", "Larkrise 130 engine (invented)", 900, 41.5, 0, 0},
        {"drive", "Larkrise belt drive (invented)", 900, 41.5, 0, 0},
        {"propeller", "Ashleaf 125 propeller (invented)", 420, 12.0, 0, 0},
        {"frame", "Larkrise frame and cage (invented)", 900, 41.5, 0, 0},
        {"harness", "Bine harness (invented)", 1150, 0, 61.0, 96},
        {"wing", "Quillet 26 wing (invented)", 800, 0, 38.0, 64},
        {"reserve", "Thistle 34 reserve (invented)", 1700, 0, 61.0, 96},
    };
    for (const Row& row : kRows) {
      PartRegistered p;
      p.role = std::string(row.role);
      p.made = when(row.made_days, 0, 0);
      p.bought = when(row.made_days - 60, 12, 0);
      p.running_before = hours(row.running_h);
      p.air_before = hours(row.air_h);
      p.ground_handling_before = hours(row.role == "wing" ? 9.0 : 0.0);
      p.launches_before = row.launches;
      p.private_name = std::string(row.name);
      enter(first, p, part(row.role));
      enter(first, PartFitted{part(row.role), machine()});
    }
    fields(first);
    services(first);
    CounterRead meter;
    meter.part = part("engine");
    meter.value = 41.5 * 3600;
    enter(first, meter);
    enter(first, Note{"Simulated: season opened, machine looked over in the shed."});
  }

  void fields(UtcTime at) {
    FieldDescribed home;
    home.height = AltitudeMsl::from_si(38);
    home.private_name = std::string(kHomeStrip);
    home.private_position = position_at(invented_site(), kHome.east_m, kHome.north_m);
    home.private_text = "Simulated. Grass, 240 m by 60 m along 24 and 06, poplars 14 m high at the east end.";
    enter(at, home, field(0));
    FieldDescribed other;
    other.height = AltitudeMsl::from_si(38);
    other.private_name = std::string(kOtherStrip);
    other.private_position = position_at(invented_site(), kOther.east_m, kOther.north_m);
    other.private_text = "Simulated. Stubble, 180 m, wire along the south edge.";
    enter(at, other, field(1));
  }

  // The default list was gone through when the season opened. The reserve was packed earlier and falls due 24 days after the
  // end; the starter cord was forgotten; the owner adds a line of their own.
  void services(UtcTime at) {
    for (const ServiceLine& line : request_.services) {
      if (line.from_made) continue;
      if (line.line.find("starter") != std::string::npos) continue;
      ServiceDone done_now;
      done_now.line = line.line;
      if (const EntryId id = part(line.role); id != EntryId{}) done_now.part = id;
      UtcTime then = at;
      if (line.reserve && line.calendar) {
        then = shifted(UtcTime(end_) + std::chrono::days(24), -*line.calendar);
        done_now.private_note = "Simulated: repacked in the village hall.";
      }
      enter(then, done_now);
    }
    ServiceLineSet own;
    own.line = "propeller_bolts";
    own.title = "Propeller bolts: torque";
    own.role = "propeller";
    own.running = hours(5);
    own.basis = "the owner's habit (invented)";
    enter(at, own);
    ServiceDone bolts;
    bolts.line = "propeller_bolts";
    bolts.part = part("propeller");
    enter(at, bolts);
  }

  Result<void> fly(const Day& day, int number) {
    between(number);
    const UtcTime begin = when(day.days_before_end, day.hour, day.minute);
    // The owner reads the tank to a quarter of a litre.
    const bool fills = day.style != Style::homeward;
    if (fills) {
      const double goal = day.style == Style::circuits ? 5.0 : 8.0;
      const double added = std::round((goal - tank_l_) * 2) / 2;
      tank_l_ += added;
      enter(begin - std::chrono::minutes(25), FuelFilled{litres(added), litres(std::round(tank_l_ * 4) / 4)});
    }
    if (number % 3 == 1) enter(begin - std::chrono::minutes(12), CheckDone{"lines_and_risers", "done"});

    auto recording = flown(day, number, request_, begin, tank_l_);
    if (!recording)
      return tl::unexpected(Error{recording.error().kind, recording.error().what,
                                  "simulated flight " + std::to_string(number) + ", " + recording.error().where});
    const Truth& truth = recording->truth;
    tank_l_ -= in_litres(truth.fuel_burned);
    running_s_ += in_seconds(truth.running_time);
    const UtcTime landed = truth.landing;
    const double warm_k = day.warmer_k;
    steps_.push_back({landed + std::chrono::minutes(8), std::move(*recording), {}});

    // Hidden: a leak at the inlet from flight 8 on leans the mixture: the head runs hotter, the plug pales.
    const double leak = number >= 8 ? 9.0 * (number - 7) : 0.0;
    Reading head;
    head.quantity = std::string(kHeadMaximum);
    head.value = 273.15 + std::round(171 + 0.8 * warm_k + leak + 3.0 * chance_.gaussian());
    head.unit = "K";
    head.part = part("engine");
    enter(landed + std::chrono::minutes(12), head);
    if (number != 3 && number != 8)
      enter(landed + std::chrono::minutes(15),
            FuelLeft{litres(std::max(0.25, std::round((tank_l_ + 0.1 * chance_.gaussian()) * 4) / 4))});
    if (number % 2 == 0) {
      PlugRead plug;
      plug.colour = number >= 8 ? PlugColour::pale : PlugColour::tan;
      plug.mixture = number >= 10 ? PlugMixture::lean : PlugMixture::unsaid;
      enter(landed + std::chrono::minutes(30), plug);
    }
    if (number == 2 || number == 4 || number == 6 || number == 9) {
      // Hidden: the hour meter runs 1.5 % slow and shows tenths.
      CounterRead meter;
      meter.part = part("engine");
      meter.value = std::floor((41.5 * 3600 + running_s_ * 0.985) / 360) * 360;
      enter(landed + std::chrono::minutes(35), meter);
    }
    return {};
  }

  // What happened since the flight before.
  void between(int number) {
    switch (number) {
      case 1:
        enter(when(90, 18, 0), FuelMixed{litres(20), 50.0, {}, "Simulated."});
        enter(when(90, 18, 20), MoneySpent{3980, "EUR", "Simulated: fuel and oil."});
        enter(when(89, 16, 0), DrillPractised{"reserve", "Simulated: hung in the barn, handle found by feel, no pull."});
        break;
      case 3:
        enter(when(77, 15, 0), GroundHandling{machine(), minutes(40)});
        break;
      case 4:
        enter(when(70, 11, 0), EngineRun{machine(), minutes(9), "Simulated: carburettor needle set on the stand."});
        enter(when(70, 12, 0), Finding{true, part("engine"), "Simulated: crack in the exhaust bracket, a finger long."},
              finding(0));
        enter(when(68, 17, 0), MoneySpent{6450, "EUR", "Simulated: exhaust bracket, two springs."});
        enter(when(67, 10, 0), FindingClosed{finding(0), "Simulated: new bracket fitted, springs renewed."});
        break;
      case 5: {
        enter(when(60, 18, 0), FuelMixed{litres(15), 50.0, {}, "Simulated."});
        enter(when(60, 18, 10), MoneySpent{2960, "EUR", "Simulated: fuel."});
        ServiceDone bolts;
        bolts.line = "propeller_bolts";
        bolts.part = part("propeller");
        enter(when(58, 10, 0), bolts);
        break;
      }
      case 7:
        enter(when(48, 10, 0), Finding{false, part("frame"), "Simulated: net cord frayed at the lower left of the cage."},
              finding(1));
        enter(when(42, 14, 0),
              Alteration{"propeller", part("propeller"), "Simulated: blades cleaned up and balanced, edge tape renewed."});
        break;
      case 8:
        enter(when(30, 18, 0), FuelMixed{litres(20), 50.0, {}, "Simulated."});
        enter(when(30, 18, 10), MoneySpent{4010, "EUR", "Simulated: fuel and oil."});
        break;
      default:
        break;
    }
  }

  const SeasonRequest& request_;
  std::span<const EntryId> ids_;
  Pcg32 chance_;
  std::chrono::sys_days end_;
  std::vector<SeasonStep> steps_;
  double tank_l_ = 1.5;
  double running_s_ = 0;
};

}  // namespace

Result<std::vector<SeasonStep>> invent_season(const SeasonRequest& request, std::span<const EntryId> ids,
                                              const std::function<bool(int)>& done) {
  if (ids.size() != kSeasonIdCount) return fail(ErrorKind::bad_input, "the season needs its own count of ids");
  return Diary(request, ids).write(done);
}

}  // namespace headroom::simulate

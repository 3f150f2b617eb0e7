#include "core/simulate/season.h"

#include <algorithm>
#include <cmath>

#include "core/book/state.h"
#include "core/machine/figures.h"
#include "core/simulate/season_flights.h"

namespace headroom::simulate {
namespace {

class Diary {
 public:
  Diary(const SeasonRequest& request, std::span<const EntryId> ids) : request_(request), ids_(ids), chance_(request.seed, 909) {
    end_ = std::chrono::floor<std::chrono::days>(request.end);
  }

  Result<std::vector<SeasonStep>> write(const std::function<bool(int)>& done) {
    open_book();
    for (int number = 1; number <= kSeasonFlights; ++number) {
      if (auto problem = day(number); !problem) return tl::unexpected(problem.error());
      if (number == kLeftOn) ++number;  // both are in one recording
      if (done && !done(number)) return fail(ErrorKind::refused, "stopped before the season was whole");
    }
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
  [[nodiscard]] EntryId field(std::size_t i) const { return ids_[5 + kDefaultPartCount + i]; }
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
    figures(first);
    fields(first);
    services(first);
    CounterRead meter;
    meter.part = part("engine");
    meter.value = 41.5 * 3600;
    enter(first, meter);
    enter(first, Note{"Simulated: season opened, machine looked over in the shed."});
  }

  // Weighed, measured and read off plates when the book was begun: with the pilot's 82 kg the 118 kg that the simulator flies.
  void figures(UtcTime at) {
    const auto figure = [&](const MachineFigure& of, double si) {
      enter(at, Reading{std::string(of.key), si, std::string(of.unit), std::nullopt});
    };
    figure(figure::machine_mass, 29.0);
    figure(figure::wing_mass, 5.8);
    figure(figure::wing_area, 26);
    figure(figure::wing_least, 95);
    figure(figure::wing_most, 140);
    figure(figure::reserve_most, 135);
    figure(figure::harness_most, 150);
    figure(figure::carabiners_most, 1800);
    figure(figure::static_thrust, 560);
    figure(figure::propeller_diameter, 1.25);
    figure(figure::tank_holds, 0.011);
    figure(figure::unusable_fuel, 0.0003);
    figure(figure::step_length, 0.82);
    const auto kit = [&](const char* name, double kg) { enter(at, Reading{name, kg, "kg", std::nullopt}); };
    kit("kit.radio.left shoulder strap", 0.4);
    kit("kit.camera.right pocket", 0.3);
    kit("kit.water.under the seat", 0.5);
  }

  void fields(UtcTime at) {
    FieldDescribed home;
    home.height = AltitudeMsl::from_si(38);
    home.private_name = std::string(kHomeStrip);
    home.private_position = position_at(invented_site(), place_of(Strip::home).east_m, place_of(Strip::home).north_m);
    home.private_text = "Simulated. Grass, 240 m by 60 m along 24 and 06, poplars 14 m high at the east end.";
    home.strips = {{"24", 240, metres(240), 0, FieldSurface::short_grass, {{ObstacleKind::fence, metres(246), metres(1.2)}}, at},
                   {"06", 60, metres(240), 0, FieldSurface::short_grass, {{ObstacleKind::trees, metres(262), metres(14)}}, at}};
    enter(at, home, field(0));
    FieldDescribed other;
    other.height = AltitudeMsl::from_si(38);
    other.private_name = std::string(kOtherStrip);
    other.private_position = position_at(invented_site(), place_of(Strip::other).east_m, place_of(Strip::other).north_m);
    other.private_text = "Simulated. Stubble, 180 m, wire along the south edge.";
    other.strips = {{"25", 250, metres(180), 0, FieldSurface::stubble, {}, at}};
    enter(at, other, field(1));
  }

  // The default list was gone through when the season opened, but for the starter cord, which was forgotten. The reserve had
  // been packed before: it falls due during the season, is done late, and falls due again 24 days after the end.
  void services(UtcTime at) {
    for (const ServiceLine& line : request_.services) {
      if (line.from_made) continue;
      if (line.line.find("starter") != std::string::npos) continue;
      const bool repack = line.reserve && line.calendar;
      const UtcTime then = repack ? shifted(repacked() - std::chrono::days(kRepackLateDays), -*line.calendar) : at;
      if (repack) repack_ = &line;
      service(then, line, repack ? "Simulated: repacked in the village hall." : "");
    }
    ServiceLineSet own;
    own.line = "propeller_bolts";
    own.title = "Propeller bolts: torque";
    own.role = "propeller";
    own.running = hours(kBoltsHours);
    own.basis = "the owner's habit (invented)";
    enter(at, own);
    bolts(at);
  }
  void service(UtcTime at, const ServiceLine& line, const char* note = "") {
    ServiceDone done;
    done.line = line.line;
    if (const EntryId id = part(line.role); id != EntryId{}) done.part = id;
    done.private_note = note;
    enter(at, done);
  }
  void bolts(UtcTime at) {
    ServiceDone done;
    done.line = "propeller_bolts";
    done.part = part("propeller");
    enter(at, done);
    bolts_at_s_ = running_s_;
    ++bolts_done_;
  }
  void by_name(UtcTime at, std::string_view name, const char* note) {
    for (const ServiceLine& line : request_.services)
      if (line.line == name) service(at, line, note);
  }
  [[nodiscard]] UtcTime repacked() const {
    if (repack_ != nullptr) return shifted(UtcTime(end_) + std::chrono::days(kRepackDueAfterEnd), -*repack_->calendar);
    for (const ServiceLine& line : request_.services)
      if (line.reserve && line.calendar && !line.from_made)
        return shifted(UtcTime(end_) + std::chrono::days(kRepackDueAfterEnd), -*line.calendar);
    return end_;
  }

  // The owner reads the tank to a quarter of a litre, and mixes more the evening before when the can would run dry or what is
  // in it has become old.
  void fill(UtcTime begin, double goal) {
    const double added = std::round((goal - tank_l_) * 2) / 2;
    if (added < 0.5) return;
    const UtcTime evening = std::chrono::floor<std::chrono::days>(begin) - std::chrono::minutes(330);
    if (can_l_ < added || evening - mixed_ > std::chrono::days(28)) {
      enter(evening, FuelMixed{litres(kMixed), 50.0, {}, "Simulated."});
      const auto cents = static_cast<std::int64_t>(std::lround(kMixed * (199 + chance_.uniform(-6, 9))));
      enter(evening + std::chrono::minutes(20), MoneySpent{cents, "EUR", "Simulated: fuel and oil."});
      can_l_ = kMixed;
      mixed_ = evening;
    }
    can_l_ -= added;
    tank_l_ += added;
    enter(begin - std::chrono::minutes(25), FuelFilled{litres(added), litres(std::round(tank_l_ * 4) / 4)});
  }

  // One recording, or two of one flight, with what the owner writes before and after.
  Result<void> day(int number) {
    number_ = number;
    const SeasonDay& plan = season_days()[static_cast<std::size_t>(number - 1)];
    between(number);
    if (number == kRideBefore)
      if (auto told = ride(number, true); !told) return told;
    const UtcTime begin = when(plan.days_before_end, plan.hour, plan.minute);
    if (plan.style != Style::homeward) fill(begin, plan.style == Style::circuits || plan.style == Style::evening ? 5.0 : 8.0);
    const auto& checks = each_flight_checks();
    if (number % 3 == 1)
      enter(begin - std::chrono::minutes(12),
            CheckDone{std::string(checks[static_cast<std::size_t>(number / 3) % checks.size()].check), "done"});

    SeasonRecording out;
    auto flight = fly(number, begin, out);
    if (!flight) return tl::unexpected(flight.error());
    if (number == kLeftOn) {
      const SeasonDay& next = season_days()[static_cast<std::size_t>(number)];
      SeasonRecording second;
      const auto after = fly(number + 1, when(next.days_before_end, next.hour, next.minute), second);
      if (!after) return tl::unexpected(after.error());
      out.flights.push_back(std::move(second.flights.front()));
      out.kind = RecordingKind::two_flights;
      flight = followed_by(std::move(*flight), *after);
    } else if (number == kWithRide) {
      const TruthStep& last = flight->truth.steps.back();
      const UtcTime off = shifted(flight->script.begin, seconds(std::ceil(last.time_s) + 900));
      const auto home = drive(false, request_.seed * 1000 + 700, off, {last.east_m, last.north_m}, flight->script.air);
      if (!home) return tl::unexpected(home.error());
      out.kind = RecordingKind::flight_and_ride;
      flight = followed_by(std::move(*flight), *home);
    } else if (number == kSwitchedOnInTheAir) {
      out.kind = RecordingKind::begins_in_air;
    }
    if (!flight) return tl::unexpected(flight.error());
    out.left = number == kSeasonFlights;
    const UtcTime landed = out.flights.back().truth.landing;
    const UtcTime home = number == kWithRide ? landed + std::chrono::minutes(50) : landed + std::chrono::minutes(8);
    if (auto added = add(std::move(out), *flight, number, 0, home); !added) return added;
    if (number == kTwoRecorders) {
      SeasonRecording other;
      other.kind = RecordingKind::second_recorder;
      other.flights = steps_.back().recording->flights;
      if (auto added = add(std::move(other), *flight, number, 1, home); !added) return added;
    }
    if (number != kSeasonFlights) after(number == kLeftOn ? number + 1 : number, plan, home);
    return number == kRideAfter ? ride(number, false) : Result<void>{};
  }

  Result<SimulatedFlight> fly(int number, UtcTime begin, SeasonRecording& out) {
    auto flight = fly_day(number, request_.seed, begin, litres(tank_l_));
    if (!flight)
      return tl::unexpected(Error{flight.error().kind, flight.error().what,
                                  "simulated flight " + std::to_string(number) + ", " + flight.error().where});
    tank_l_ -= in_litres(flight->truth.fuel_burned);
    running_s_ += in_seconds(flight->truth.running_time);
    SeasonFlight told;
    told.number = number;
    told.script = flight->script;
    if (request_.keep_steps) {
      told.truth = flight->truth;
    } else {
      auto steps = std::move(flight->truth.steps);
      told.truth = flight->truth;
      told.truth.steps = {};
      flight->truth.steps = std::move(steps);
    }
    out.flights.push_back(std::move(told));
    return flight;
  }

  Result<void> ride(int number, bool to_strip) {
    const SeasonDay& plan = season_days()[static_cast<std::size_t>(number - 1)];
    const UtcTime begin = when(plan.days_before_end, plan.hour, plan.minute) + std::chrono::minutes(to_strip ? -70 : 135);
    AirScript air;
    air.qnh = hectopascals(plan.qnh_hpa);
    const auto driven = drive(to_strip, request_.seed * 1000 + 800 + static_cast<std::uint64_t>(number), begin, {30, -25}, air);
    if (!driven) return tl::unexpected(driven.error());
    SeasonRecording out;
    out.kind = RecordingKind::ride;
    return add(std::move(out), *driven, number, 0, begin + std::chrono::minutes(30));
  }

  Result<void> add(SeasonRecording out, const SimulatedFlight& flight, int number, int which, UtcTime at) {
    auto recording = recorded(flight, number, which);
    if (!recording) return tl::unexpected(recording.error());
    ++files_;
    out.name = (files_ < 10 ? "0" : "") + std::to_string(files_) + ".igc";
    out.recording = std::move(*recording);
    out.long_date = files_ % 2 == 0;
    steps_.push_back({at, std::move(out), {}});
    return {};
  }

  // What the owner writes down when the machine is packed.
  void after(int number, const SeasonDay& plan, UtcTime at) {
    // Hidden: the smaller jet leans the mixture a little, and from kLeakFrom on a leak at the inlet leans it more: the head runs
    // hotter, the plug pales.
    const double leaner =
        (plan.days_before_end < kJetDay ? 3.0 : 0.0) + (number >= kLeakFrom ? 9.0 * (number - kLeakFrom + 1) : 0.0);
    Reading head;
    head.quantity = std::string(kHeadMaximum);
    head.value = 273.15 + std::round(171 + 0.8 * plan.warmer_k + leaner + 3.0 * chance_.gaussian());
    head.unit = "K";
    head.part = part("engine");
    enter(at + std::chrono::minutes(4), head);
    if (number % 7 != 3)
      enter(at + std::chrono::minutes(7),
            FuelLeft{litres(std::max(0.25, std::round((tank_l_ + 0.1 * chance_.gaussian()) * 4) / 4))});
    if (number % 2 == 1) {
      PlugRead plug;
      plug.colour = number >= kLeakFrom ? PlugColour::pale : PlugColour::tan;
      plug.mixture = number >= kLeakFrom + 2 ? PlugMixture::lean : PlugMixture::unsaid;
      enter(at + std::chrono::minutes(22), plug);
    }
    if (number % 4 == 2) {
      // Hidden: the hour meter runs 1.5 % slow and shows tenths.
      CounterRead meter;
      meter.part = part("engine");
      meter.value = std::floor((kHoursBefore * 3600 + running_s_ * 0.985) / 360) * 360;
      enter(at + std::chrono::minutes(27), meter);
    }
  }

  // What happened since the flight before.
  void between(int number) {
    switch (number) {
      case 1:
        enter(when(209, 15, 0), GroundHandling{machine(), minutes(55)});
        break;
      case 3:
        enter(when(199, 15, 0), GroundHandling{machine(), minutes(40)});
        break;
      case 10:
        enter(when(164, 11, 0), EngineRun{machine(), minutes(9), "Simulated: carburettor needle set on the stand."});
        running_s_ += 9 * 60;
        enter(when(164, 12, 0), Finding{true, part("engine"), "Simulated: crack in the exhaust bracket, a finger long."},
              finding(0));
        enter(when(162, 17, 0), MoneySpent{6450, "EUR", "Simulated: exhaust bracket, two springs."});
        enter(when(160, 10, 0), FindingClosed{finding(0), "Simulated: new bracket fitted, springs renewed."});
        if (repack_ != nullptr) service(repacked(), *repack_, "Simulated: repacked by a friend with a certificate, late.");
        break;
      case 11:
        enter(when(157, 18, 0), MoneySpent{5500, "EUR", "Simulated: reserve repack."});
        break;
      case 14:
        enter(when(143, 16, 0), DrillPractised{"reserve", "Simulated: hung in the barn, handle found by feel, no pull."});
        break;
      case 17:
        enter(when(124, 10, 0), GroundHandling{machine(), minutes(70)});
        break;
      case 18:
        enter(when(kPropellerDay, 14, 0),
              Alteration{"propeller", part("propeller"), "Simulated: blades cleaned up and balanced, edge tape renewed."});
        break;
      case 20:
        by_name(when(110, 10, 0), "starter_cord", "Simulated: cord renewed; it had been forgotten.");
        enter(when(110, 10, 30), MoneySpent{890, "EUR", "Simulated: starter cord, 2 m."});
        break;
      case 22:
        enter(when(100, 19, 0), Finding{false, part("harness"), "Simulated: gate of the left carabiner is stiff with sand."},
              finding(2));
        enter(when(98, 19, 0), FindingClosed{finding(2), "Simulated: washed out, snaps shut again."});
        break;
      case 26:
        enter(when(80, 12, 0), DrillPractised{"engine_off_landing", "Simulated: three spot landings with the engine stopped."});
        break;
      case 30:
        enter(when(62, 10, 0), Finding{false, part("frame"), "Simulated: net cord frayed at the lower left of the cage."},
              finding(1));
        enter(when(kJetDay, 11, 0), Alteration{"jet", part("engine"), "Simulated: main jet one size smaller."});
        enter(when(kJetDay, 11, 20), EngineRun{machine(), minutes(6), "Simulated: on the stand after the new jet."});
        running_s_ += 6 * 60;
        enter(when(kJetDay, 12, 0), MoneySpent{1240, "EUR", "Simulated: two main jets, a gasket."});
        break;
      case 36:
        by_name(when(27, 17, 0), "plug", "Simulated: new plug, gap set.");
        enter(when(27, 17, 20), MoneySpent{780, "EUR", "Simulated: spark plug."});
        break;
      case 38:
        by_name(when(15, 17, 0), "carburettor_kit", "");
        enter(when(15, 17, 30), MoneySpent{2350, "EUR", "Simulated: diaphragm kit."});
        break;
      case 40:
        enter(when(3, 18, 0), Note{"Simulated: the head runs hotter than in summer; look at the inlet before the next trip."});
        break;
      default:
        break;
    }
    // The bolts are done when the next flight would pass the limit; once, in the best weather, not.
    const double since_h = (running_s_ - bolts_at_s_) / 3600;
    if (since_h > (bolts_done_ == 3 ? kBoltsHours + 0.8 : kBoltsHours - 0.8) && number < 38)
      bolts(
          std::chrono::floor<std::chrono::days>(when(season_days()[static_cast<std::size_t>(number - 1)].days_before_end, 0, 0)) -
          std::chrono::minutes(380));
  }

  static constexpr double kHoursBefore = 41.5;  // on the engine when the book begins
  static constexpr double kBoltsHours = 5;
  static constexpr double kMixed = 10;  // L
  static constexpr int kRepackDueAfterEnd = 24, kRepackLateDays = 18;

  const SeasonRequest& request_;
  std::span<const EntryId> ids_;
  Pcg32 chance_;
  std::chrono::sys_days end_;
  std::vector<SeasonStep> steps_;
  const ServiceLine* repack_ = nullptr;
  UtcTime mixed_{};
  double tank_l_ = 1.5, can_l_ = 0;
  double running_s_ = 0, bolts_at_s_ = 0;
  int bolts_done_ = 0, number_ = 0, files_ = 0;
};

}  // namespace

Result<std::vector<SeasonStep>> invent_season(const SeasonRequest& request, std::span<const EntryId> ids,
                                              const std::function<bool(int)>& done) {
  if (ids.size() != kSeasonIdCount) return fail(ErrorKind::bad_input, "the season needs its own count of ids");
  return Diary(request, ids).write(done);
}

}  // namespace headroom::simulate

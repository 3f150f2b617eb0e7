#include "core/simulate/flight.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>

namespace headroom::simulate {
namespace {

constexpr double kStep = 0.05;              // s
constexpr int kStepsPerTruth = 4;           // kTruthInterval / kStep
constexpr double kGravityHere = 9.80665;    // m/s2
constexpr double kDensityStandard = 1.225;  // kg/m3
constexpr double kFuelDensity = 740;        // kg/m3, premixed petrol, common practice, no source
constexpr double kLongest = 6 * 3600;       // s
constexpr double kRadian = std::numbers::pi / 180.0;

double wrapped(double angle) {
  return std::remainder(angle, 2.0 * std::numbers::pi);
}
double heading_of(double east, double north) {
  return std::atan2(east, north);
}
// Moves `value` towards `goal` with time constant `time_s`.
double towards(double value, double goal, double time_s) {
  return value + (goal - value) * (1.0 - std::exp(-kStep / time_s));
}

struct Vector {
  double e = 0, n = 0, u = 0;
  friend Vector operator+(Vector a, Vector b) { return {a.e + b.e, a.n + b.n, a.u + b.u}; }
  friend Vector operator-(Vector a, Vector b) { return {a.e - b.e, a.n - b.n, a.u - b.u}; }
  friend Vector operator*(double k, Vector a) { return {k * a.e, k * a.n, k * a.u}; }
  [[nodiscard]] double length() const { return std::sqrt(e * e + n * n + u * u); }
  [[nodiscard]] double level() const { return std::hypot(e, n); }
};
Vector cross(Vector a, Vector b) {
  return {a.n * b.u - a.u * b.n, a.u * b.e - a.e * b.u, a.e * b.n - a.n * b.e};
}

class Flyer {
 public:
  explicit Flyer(const FlightScript& script)
      : script_(script),
        craft_(script.craft),
        air_(script.air, script.seed),
        pilot_(script.seed, 7),
        fuel_(in_litres(craft_.fuel)) {
    place_.e = script.start_east_m;
    place_.n = script.start_north_m;
    place_.u = ground();
    lift_coefficient_ = craft_.lift_coefficient;
  }

  Result<SimulatedFlight> fly() {
    feel_air();
    keep();
    for (std::size_t i = 0; i < script_.legs.size(); ++i) {
      const std::string problem = fly_leg(script_.legs[i]);
      if (!problem.empty()) return fail(ErrorKind::out_of_range, problem, "leg " + std::to_string(i + 1));
    }
    if (airborne_) return fail(ErrorKind::bad_input, "the script ends in the air");
    end_interval(truth_.engine_running, running_since_);
    SimulatedFlight flight{script_, std::move(truth_)};
    Truth& truth = flight.truth;
    truth.air_time = duration_between(truth.launch, truth.landing);
    for (const TimeInterval& t : truth.engine_running) truth.running_time += duration_between(t.begin, t.end);
    for (const TimeInterval& t : truth.powered) truth.powered_time += duration_between(t.begin, t.end);
    truth.fuel_burned = litres(in_litres(craft_.fuel) - fuel_);
    return flight;
  }

 private:
  // --- what is there ---
  [[nodiscard]] double ground() const { return ground_height_m(script_.site, place_.e, place_.n); }
  [[nodiscard]] double mass() const { return in_kilograms(craft_.without_fuel) + fuel_ * 1e-3 * kFuelDensity; }
  [[nodiscard]] double density() const { return density_at(script_.air, AltitudeMsl::from_si(place_.u)).si(); }
  [[nodiscard]] double above_field() const { return place_.u - script_.site.elevation.si(); }
  [[nodiscard]] UtcTime now() const { return script_.begin + std::chrono::milliseconds(steps_ * 50); }
  [[nodiscard]] double drag_coefficient(double cl) const { return craft_.drag_at_zero_lift + craft_.drag_by_lift * cl * cl; }
  [[nodiscard]] double thrust(double airspeed) const {
    if (!engine_) return 0;
    const double fall = 1.0 - airspeed / in_metres_per_second(craft_.thrust_zero_speed);
    return throttle_ * in_newtons(craft_.static_thrust) * density() / kDensityStandard * std::max(fall, 0.0);
  }

  void feel_air() {
    const double airspeed = (velocity_ - wind_).length();
    const AirMotion a = air_.step(kStep, time(), place_.e, place_.n, std::max(place_.u - ground(), 0.0) + 2.0, airspeed);
    wind_ = {a.east_m_s, a.north_m_s, a.up_m_s};
    if (!airborne_) wind_.u = 0;
  }
  [[nodiscard]] double time() const { return static_cast<double>(steps_) * kStep; }

  // --- the engine ---
  void end_interval(std::vector<TimeInterval>& list, std::optional<UtcTime>& since) {
    if (since && *since < now()) list.push_back({*since, now()});
    since.reset();
  }
  void run_engine(bool on) {
    if (on == engine_) return;
    engine_ = on;
    if (on) {
      running_since_ = now();
      throttle_ = craft_.idle_throttle;
    } else {
      throttle_ = 0;
      end_interval(truth_.engine_running, running_since_);
    }
  }
  void set_throttle(double goal, double lag_s = 0.4) {
    throttle_ = engine_ ? towards(throttle_, std::clamp(goal, craft_.idle_throttle, 1.0), lag_s) : 0.0;
  }
  void burn() {
    if (!engine_) return;
    const double idle = in_litres_per_hour(craft_.idle_burn);
    const double rate = idle + (in_litres_per_hour(craft_.full_burn) - idle) * std::pow(throttle_, 1.15);
    fuel_ = std::max(0.0, fuel_ - rate * kStep / 3600.0);
  }

  // --- one step ---
  void advance() {
    burn();
    ++steps_;
    feel_air();
    const bool under_power = airborne_ && engine_ && throttle_ > 1.5 * craft_.idle_throttle;
    if (under_power && !powered_since_) powered_since_ = now();
    if (!under_power) end_interval(truth_.powered, powered_since_);
    if (steps_ % kStepsPerTruth == 0) keep();
  }
  void keep() {
    TruthStep s;
    s.time_s = time();
    s.east_m = place_.e, s.north_m = place_.n, s.height_msl_m = place_.u;
    s.height_above_ground_m = place_.u - ground();
    s.velocity_east_m_s = velocity_.e, s.velocity_north_m_s = velocity_.n, s.velocity_up_m_s = velocity_.u;
    s.wind_east_m_s = wind_.e, s.wind_north_m_s = wind_.n, s.wind_up_m_s = wind_.u;
    s.airspeed_m_s = (velocity_ - wind_).length();
    s.throttle = throttle_, s.thrust_n = thrust(s.airspeed_m_s);
    s.bank_deg = bank_ / kRadian;
    s.mass_kg = mass(), s.density_kg_m3 = density();
    s.stage = stage_, s.engine_running = engine_, s.airborne = airborne_;
    truth_.steps.push_back(s);
  }
  void on_foot(double velocity_east, double velocity_north) {
    velocity_ = {velocity_east, velocity_north, 0};
    place_.e += velocity_east * kStep;
    place_.n += velocity_north * kStep;
    place_.u = ground();
    advance();
  }

  [[nodiscard]] Vector acceleration(Vector velocity) const {
    const Vector through = velocity - wind_;
    const double speed = std::max(through.length(), 0.5);
    const Vector ahead = (1.0 / speed) * through;
    Vector right = cross(ahead, {0, 0, 1});
    right = (1.0 / std::max(right.length(), 1e-6)) * right;
    const Vector over = cross(right, ahead);
    const double push = 0.5 * density() * speed * speed * craft_.wing_area.si();
    const double lift = push * effective_lift_coefficient_;
    const double drag = push * drag_coefficient(effective_lift_coefficient_);
    const Vector force = (thrust(speed) - drag) * ahead + lift * (std::cos(bank_) * over + std::sin(bank_) * right);
    return (1.0 / mass()) * force - Vector{0, 0, kGravityHere};
  }

  // Airborne for one step with the bank, throttle and lift coefficient asked for.
  void in_air(double bank_goal, double throttle_goal, double lift_goal, double lift_lag_s) {
    bank_goal -= craft_.torque_bank_deg * kRadian * throttle_ * 0.3;  // what the pilot leaves uncorrected
    const double most = 25.0 * kRadian * kStep;                       // roll rate 25 deg/s
    bank_ += std::clamp(towards(bank_, bank_goal, 0.8) - bank_, -most, most);
    set_throttle(throttle_goal);
    lift_coefficient_ = towards(lift_coefficient_, lift_goal, lift_lag_s);

    // The pilot hangs under the wing and swings: lift gives way while the path steepens, so the swing dies out in a few periods.
    const Vector through = velocity_ - wind_;
    const double path = std::atan2(through.u, std::max(through.level(), 0.5));
    slow_path_ = towards(slow_path_, path, 3.0);
    effective_lift_coefficient_ = lift_coefficient_ * std::clamp(1.0 - 1.1 * (path - slow_path_), 0.6, 1.4);

    const Vector middle = velocity_ + 0.5 * kStep * acceleration(velocity_);
    velocity_ = velocity_ + kStep * acceleration(middle);
    place_ = place_ + kStep * middle;
    advance();
  }

  // --- legs ---
  std::string fly_leg(const Leg& leg) {
    const bool afoot = leg.kind <= LegKind::take_off;
    if (afoot == airborne_) return afoot ? "this leg begins on foot, but the script is in the air" : "this leg begins in the air";
    if (afoot && leg.kind != LegKind::take_off && leg.kind != LegKind::false_start) run_engine(leg.engine != EngineUse::off);
    switch (leg.kind) {
      case LegKind::stand:
        return stand(leg);
      case LegKind::walk_to:
        return walk(leg.east_m, leg.north_m);
      case LegKind::kite:
        return kite(leg);
      case LegKind::false_start:
        return false_start(leg);
      case LegKind::take_off:
        return take_off(leg);
      case LegKind::land:
        return land(leg);
      case LegKind::climb_to:
      case LegKind::fly_to:
      case LegKind::circle:
      case LegKind::glide_to:
        return cruise(leg);
    }
    return "unknown leg";
  }

  std::string stand(const Leg& leg) {
    stage_ = Stage::standing;
    const auto steps = static_cast<long>(in_seconds(leg.duration) / kStep);
    for (long i = 0; i < steps; ++i) {
      // Warming up: now and then a burst of throttle.
      const bool burst = leg.engine == EngineUse::full || (leg.engine == EngineUse::as_needed && (i / 200) % 4 == 3);
      set_throttle(burst ? 0.55 : craft_.idle_throttle);
      on_foot(0, 0);
    }
    return {};
  }

  std::string walk(double east, double north) {
    stage_ = Stage::walking;
    GaussMarkov pace, aim;
    while (std::hypot(east - place_.e, north - place_.n) > 1.5) {
      if (time() > kLongest) return "does not arrive on foot";
      const double speed = std::clamp(1.2 + pace.step(kStep, 4, 0.2, pilot_), 0.4, 1.8);
      const double heading = heading_of(east - place_.e, north - place_.n) + aim.step(kStep, 5, 0.15, pilot_);
      set_throttle(craft_.idle_throttle);
      on_foot(speed * std::sin(heading), speed * std::cos(heading));
    }
    return {};
  }

  std::string kite(const Leg& leg) {
    stage_ = Stage::kiting;
    const Vector about = place_;
    GaussMarkov east, north;
    const auto steps = static_cast<long>(in_seconds(leg.duration) / kStep);
    for (long i = 0; i < steps; ++i) {
      set_throttle(craft_.idle_throttle);
      const double ve = east.step(kStep, 2.5, 0.7, pilot_) - 0.15 * (place_.e - about.e);
      const double vn = north.step(kStep, 2.5, 0.7, pilot_) - 0.15 * (place_.n - about.n);
      on_foot(ve, vn);
    }
    return {};
  }

  struct Run {
    double heading = 0, speed = 0, wing = 0, since_step = 0;
    double raise_s = 0, throttle_after_s = 0, ramp_s = 0, stumble_at_s = 0;
    RunShape shape = RunShape::pushed;
    double walk_s = 0, fall_at_m_s = 0, even = 0, turn = 0, turned = 0, way = 0;
    bool fell = false;
  };
  Run begin_run(const Leg& leg) {
    Run run;
    run.heading = leg.heading_deg * kRadian;
    run.raise_s = leg.reverse ? 0.3 : pilot_.uniform(1.8, 3.2);
    run.throttle_after_s = run.raise_s + pilot_.uniform(0.0, 1.2);
    run.ramp_s = pilot_.uniform(0.5, 1.4);
    run.stumble_at_s = run.raise_s + pilot_.uniform(0.3, 2.5);
    run.shape = leg.run;
    switch (run.shape) {  // drawn only where needed: a script without shapes keeps its bits
      case RunShape::pushed:
        break;
      case RunShape::walk_up:
        run.walk_s = pilot_.uniform(2.5, 6.0);
        run.throttle_after_s = run.walk_s + pilot_.uniform(-0.3, 0.6);
        break;
      case RunShape::stumble:
        run.fall_at_m_s = pilot_.uniform(2.5, 4.5);
        break;
      case RunShape::wheels:
        run.even = pilot_.uniform(1.0, 2.2);
        break;
      case RunShape::curved:
        run.turn = (pilot_.uniform() < 0.5 ? -1 : 1) * pilot_.uniform(20, 60) * kRadian;
        break;
    }
    return run;
  }
  // One step of running; true when the wing carries.
  bool run_step(Run& run) {
    const double ahead_e = std::sin(run.heading), ahead_n = std::cos(run.heading);
    run.since_step += kStep;
    run.wing = std::clamp(run.since_step / run.raise_s, 0.0, 1.0);
    set_throttle(run.since_step > run.throttle_after_s ? 1.0 : 0.15, run.ramp_s);
    const double airspeed = std::max(0.0, run.speed - (wind_.e * ahead_e + wind_.n * ahead_n));
    const double push = 0.5 * density() * airspeed * airspeed * craft_.wing_area.si();
    const double cl = craft_.run_lift_coefficient;
    const double lift = push * cl * run.wing * run.wing;
    // A wing on its way up pulls back harder than one overhead.
    const double drag = push * drag_coefficient(cl) * (run.wing < 1.0 ? 2.0 : 1.0);
    const double weight = mass() * kGravityHere;
    if (lift >= weight) return true;
    const double tread = std::clamp(1.0 - lift / weight, 0.0, 1.0);
    const double leg_speed = in_metres_per_second(craft_.leg_speed) * (run.wing < 1.0 ? 0.4 : 1.0);
    if (run.shape == RunShape::wheels) {
      run.speed =
          std::max(0.0, run.speed + kStep * std::min(run.even, (thrust(airspeed) - drag - 0.03 * (weight - lift)) / mass()));
      on_foot(run.speed * ahead_e, run.speed * ahead_n);
      return false;
    }
    if (run.shape == RunShape::walk_up && run.since_step < run.walk_s) {
      set_throttle(0.15, run.ramp_s);
      run.speed = towards(run.speed, 1.3, 0.5);
      on_foot(run.speed * ahead_e, run.speed * ahead_n);
      return false;
    }
    if (run.shape == RunShape::stumble && !run.fell && run.speed > run.fall_at_m_s) {
      run.fell = true;
      run.speed *= 0.5;
    }
    if (run.shape == RunShape::curved && std::abs(run.turned) < std::abs(run.turn)) {
      const double most = 0.15 * run.speed * kStep;  // a radius of some 7 m
      const double by = std::clamp(run.turn - run.turned, -most, most);
      run.turned += by;
      run.heading += by;
    }
    if (run.shape == RunShape::curved) {
      run.way += run.speed * kStep;
    }
    const bool stumbling = run.since_step > run.stumble_at_s && run.since_step < run.stumble_at_s + 0.6;
    const double legs = stumbling ? 0.0 : in_newtons(craft_.leg_force) * tread * std::max(0.0, 1.0 - run.speed / leg_speed);
    run.speed = std::max(0.0, run.speed + kStep * (thrust(airspeed) + legs - drag) / mass());
    on_foot(run.speed * ahead_e, run.speed * ahead_n);
    return false;
  }
  void slow_down(double heading, double rate, Stage stage) {
    stage_ = stage;
    double speed = velocity_.level();
    while (speed > 0) {
      speed = std::max(0.0, speed - rate * kStep);
      set_throttle(craft_.idle_throttle);
      on_foot(speed * std::sin(heading), speed * std::cos(heading));
    }
  }

  std::string false_start(const Leg& leg) {
    const Vector from = place_;
    stage_ = Stage::false_start;
    run_engine(true);
    Run run = begin_run(leg);
    while (std::hypot(place_.e - from.e, place_.n - from.n) < in_metres(leg.distance)) {
      if (run_step(run)) return "the false start lifts off; make it shorter";
      if (run.since_step > 60) return "the false start gets nowhere";
    }
    slow_down(run.heading, 2.5, Stage::false_start);
    run_engine(false);
    return walk(from.e, from.n);
  }

  std::string take_off(const Leg& leg) {
    if (truth_.launch != UtcTime{}) return "a script holds one take-off";
    stage_ = Stage::run;
    run_engine(true);
    const UtcTime first_step = now();
    const Vector from = place_;
    Run run = begin_run(leg);
    double headwind = 0;
    int count = 0;
    while (!run_step(run)) {
      headwind -= wind_.e * std::sin(run.heading) + wind_.n * std::cos(run.heading);
      ++count;
      if (run.since_step > 60) return "does not lift off within 60 s of running";
    }
    truth_.launch = now();
    truth_.run_time = duration_between(first_step, truth_.launch);
    // A curved run is as long as its curve; every other one is straight.
    truth_.run_length = metres(leg.run == RunShape::curved ? run.way : std::hypot(place_.e - from.e, place_.n - from.n));
    truth_.run_headwind = metres_per_second(count > 0 ? headwind / count : 0.0);
    truth_.lift_off_ground_speed = metres_per_second(run.speed);
    const Vector left = leg.run == RunShape::curved ? place_ : from;
    airborne_ = true;
    stage_ = Stage::climb;
    lift_coefficient_ = craft_.run_lift_coefficient;
    bank_ = 0;
    slow_path_ = 0;
    // Straight on until 15 m; a touch of the ground before that makes the run longer.
    while (place_.u - ground() < 15) {
      if (duration_between(truth_.launch, now()) > seconds(120)) return "does not climb away";
      in_air(steer(run.heading, 8), 1.0, craft_.lift_coefficient, 2.5);
      if (place_.u < ground()) {
        place_.u = ground();
        velocity_.u = std::max(velocity_.u, 0.0);
        truth_.launch = now();
        truth_.run_time = duration_between(first_step, truth_.launch);
        truth_.run_length = metres(run.way + std::hypot(place_.e - left.e, place_.n - left.n));
        truth_.lift_off_ground_speed = metres_per_second(velocity_.level());
      }
    }
    return {};
  }

  // Bank that turns towards a heading, with the pilot's wandering.
  double steer(double heading, double most_deg) {
    const Vector through = velocity_ - wind_;
    const double goal = heading + wander_.step(kStep, 12, 4.0 * kRadian, pilot_);
    const double error = wrapped(goal - heading_of(through.e, through.n));
    return std::clamp(1.0 * error, -most_deg * kRadian, most_deg * kRadian);
  }
  // Heading towards a place, leaning into the wind by about two thirds of what would hold the line.
  double heading_to(double east, double north) {
    const double course = heading_of(east - place_.e, north - place_.n);
    const AirMotion mean = mean_wind(script_.air, std::max(place_.u - ground(), 1.0));
    const double across = mean.east_m_s * std::cos(course) - mean.north_m_s * std::sin(course);
    const double airspeed = std::max((velocity_ - wind_).length(), 5.0);
    return course - 0.67 * std::asin(std::clamp(across / airspeed, -0.9, 0.9));
  }
  // Throttle that holds a height; the pilot looks every 2 s.
  double hold(double height) {
    if (steps_ % 40 == 0) {
      const double low = height - above_field();
      level_throttle_ = std::clamp(level_throttle_ + 0.002 * std::clamp(low, -20.0, 20.0), 0.1, 1.0);
      held_throttle_ = level_throttle_ + 0.012 * low - 0.15 * velocity_.u + 0.02 * pilot_.gaussian();
    }
    return std::clamp(held_throttle_, craft_.idle_throttle, 1.0);
  }

  std::string cruise(const Leg& leg) {
    run_engine(leg.engine != EngineUse::off);
    const double begin = time();
    const double goal_height = in_metres(leg.height);
    const double lift = craft_.lift_coefficient * leg.trim;
    double turned = 0;
    double facing = heading_of(velocity_.e - wind_.e, velocity_.n - wind_.n);
    const double distance = std::hypot(leg.east_m - place_.e, leg.north_m - place_.n);
    const double patience =
        600 + distance + (leg.kind == LegKind::circle ? 120 * leg.turns : 2 * std::abs(goal_height - above_field()));
    for (;;) {
      if (time() - begin > patience || time() > kLongest) return "does not arrive";
      if (engine_ && fuel_ <= 0) return "out of fuel";
      if (place_.u - ground() < 3) return "meets the ground";
      const double away = std::hypot(leg.east_m - place_.e, leg.north_m - place_.n);
      double bank = 0, throttle = 0;
      if (leg.kind == LegKind::circle) {
        stage_ = Stage::turn;
        bank = leg.bank_deg * kRadian + wander_.step(kStep, 12, 2.5 * kRadian, pilot_);
        const double now_facing = heading_of(velocity_.e - wind_.e, velocity_.n - wind_.n);
        turned += std::abs(wrapped(now_facing - facing));
        facing = now_facing;
        if (turned >= 2.0 * std::numbers::pi * leg.turns) return {};
      } else {
        bank = steer(heading_to(leg.east_m, leg.north_m), 25);
      }
      switch (leg.engine) {
        case EngineUse::off:
          throttle = 0;
          break;
        case EngineUse::idle:
          throttle = craft_.idle_throttle;
          break;
        case EngineUse::full:
          throttle = 1;
          break;
        case EngineUse::as_needed:
          throttle = leg.kind == LegKind::climb_to ? 0.85 : hold(goal_height);
          break;
      }
      if (leg.kind == LegKind::climb_to) {
        stage_ = Stage::climb;
        if (above_field() >= goal_height) return {};
        if (away < 150) bank = 18 * kRadian;  // waits there in a climbing turn
      } else if (leg.kind == LegKind::glide_to) {
        stage_ = Stage::glide;
        if (above_field() <= goal_height) return {};
        if (away < 80) bank = 18 * kRadian;
      } else if (leg.kind == LegKind::fly_to) {
        stage_ = Stage::level;
        if (away < 60) return {};
      }
      in_air(bank, throttle, lift, 2.0);
    }
  }

  std::string land(const Leg& leg) {
    run_engine(leg.engine != EngineUse::off);
    stage_ = Stage::final_approach;
    const double heading = leg.heading_deg * kRadian;
    const double begin = time();
    for (;;) {
      if (time() - begin > 600) return "does not come down";
      const double up = place_.u - ground();
      if (up <= 0) break;
      const bool flare = up < 2.0;
      in_air(steer(heading, up > 20 ? 25 : 8), craft_.idle_throttle, craft_.lift_coefficient * (flare ? 1.9 : 1.0),
             flare ? 0.7 : 2.0);
    }
    truth_.landing = now();
    airborne_ = false;
    bank_ = 0;
    place_.u = ground();
    end_interval(truth_.powered, powered_since_);
    run_engine(false);
    slow_down(heading_of(velocity_.e, velocity_.n), 2.2, Stage::roll_out);
    return {};
  }

  const FlightScript& script_;
  const Craft& craft_;
  Air air_;
  Pcg32 pilot_;
  GaussMarkov wander_;
  Truth truth_;
  Vector place_, velocity_, wind_;
  double fuel_;  // L
  double bank_ = 0, throttle_ = 0, lift_coefficient_ = 0, effective_lift_coefficient_ = 0, slow_path_ = 0;
  double level_throttle_ = 0.5, held_throttle_ = 0.5;
  long steps_ = 0;
  bool engine_ = false, airborne_ = false;
  Stage stage_ = Stage::standing;
  std::optional<UtcTime> running_since_, powered_since_;
};

}  // namespace

double ground_height_m(const Site& site, double east_m, double north_m) {
  return site.elevation.si() + 0.5 * site.swell.si() * std::sin(east_m / 240.0) * std::cos(north_m / 310.0);
}

GeoPosition position_at(const Site& site, double east_m, double north_m) {
  // Radii of curvature of the WGS 84 ellipsoid (NIMA TR8350.2): meridian M, prime vertical N.
  constexpr double kA = 6378137.0, kF = 1.0 / 298.257223563, kE2 = kF * (2.0 - kF);
  const auto meridian = [](double latitude) {
    const double s = std::sin(latitude);
    return kA * (1.0 - kE2) / std::pow(1.0 - kE2 * s * s, 1.5);
  };
  const double latitude0 = site.origin.latitude_deg * kRadian;
  const double half = latitude0 + 0.5 * north_m / meridian(latitude0);
  const double latitude = latitude0 + north_m / meridian(half);
  const double s = std::sin(latitude);
  const double prime = kA / std::sqrt(1.0 - kE2 * s * s);
  const double longitude = site.origin.longitude_deg * kRadian + east_m / (prime * std::cos(latitude));
  return {latitude / kRadian, longitude / kRadian};
}

Result<SimulatedFlight> simulate_flight(const FlightScript& script) {
  if (script.legs.empty()) return fail(ErrorKind::bad_input, "a flight script needs legs");
  return Flyer(script).fly();
}

Result<SimulatedFlight> followed_by(SimulatedFlight first, const SimulatedFlight& second) {
  std::vector<TruthStep>& steps = first.truth.steps;
  if (steps.empty() || second.truth.steps.empty())
    return fail(ErrorKind::bad_input, "nothing to follow, or nothing that follows");
  const double begins = in_seconds(duration_between(first.script.begin, second.script.begin));
  TruthStep still = steps.back();
  if (begins <= still.time_s) return fail(ErrorKind::bad_input, "what follows begins before the end of what it follows");
  still.velocity_east_m_s = still.velocity_north_m_s = still.velocity_up_m_s = 0;
  still.stage = Stage::standing;
  still.engine_running = false;
  const auto ended = std::lround(still.time_s / kTruthInterval), resumes = std::lround(begins / kTruthInterval);
  for (long i = ended + 1; i < resumes; ++i) {
    still.time_s = static_cast<double>(i) * kTruthInterval;
    steps.push_back(still);
  }
  for (TruthStep step : second.truth.steps) {
    step.time_s += begins;
    steps.push_back(step);
  }
  return first;
}

}  // namespace headroom::simulate

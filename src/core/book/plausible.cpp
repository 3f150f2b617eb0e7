#include "core/book/plausible.h"

namespace headroom {

namespace {

Result<void> within(double value, double low, double high, const char* range) {
  if (!(value >= low && value <= high)) return fail(ErrorKind::out_of_range, std::string(range) + "; nothing was written");
  return {};
}

struct PlausibleCheck {
  Result<void> operator()(const PilotRegistered& f) const {
    if (!f.mass) return {};
    return within(in_kilograms(*f.mass), 25, 250, "a pilot's mass is between 25 and 250 kg");
  }
  Result<void> operator()(const CounterRead& f) const {
    if (f.counter == Counter::launches) return within(f.value, 0, 100000, "launches are between 0 and 100,000");
    return within(f.value / 3600, 0, 20000, "an hour meter reads between 0 and 20,000 h");
  }
  Result<void> operator()(const Reading& f) const {
    if (f.quantity == "head_maximum")
      return within(f.value - 273.15, -40, 500, "a head temperature is between -40 and 500 °C (-40 and 932 °F)");
    if (f.quantity == "porosity") return within(f.value, 0, 3600, "porosity is between 0 and 3,600 s");
    return within(f.value, -1e12, 1e12, "a reading is a finite number");
  }
  Result<void> operator()(const FlightEntry& f) const {
    if (!(f.landing > f.launch)) return fail(ErrorKind::out_of_range, "a landing comes after its launch; nothing was written");
    return within(in_hours(f.air_time), 0, 24, "a flight lasts between 0 and 24 h");
  }
  Result<void> operator()(const EngineRun& f) const {
    return within(in_hours(f.running), 0, 24, "an engine run lasts between 0 and 24 h");
  }
  Result<void> operator()(const GroundHandling& f) const {
    return within(in_hours(f.duration), 0, 24, "ground handling lasts between 0 and 24 h");
  }
  Result<void> operator()(const FuelMixed& f) const {
    if (auto fuel = litre_range(f.fuel, 0.01, 200, "fuel mixed is between 0.01 and 200 L"); !fuel) return fuel;
    if (f.ratio)
      if (auto ratio = within(*f.ratio, 10, 200, "a mix is between 10:1 and 200:1, petrol to oil"); !ratio) return ratio;
    if (f.oil) return litre_range(*f.oil, 0, 20, "oil is between 0 and 20 L");
    return {};
  }
  Result<void> operator()(const FuelFilled& f) const {
    if (f.in_tank_after)
      if (auto tank = litre_range(*f.in_tank_after, 0, 60, "fuel in the tank is between 0 and 60 L"); !tank) return tank;
    return litre_range(f.added, 0, 60, "fuel filled is between 0 and 60 L");
  }
  Result<void> operator()(const FuelLeft& f) const { return litre_range(f.left, 0, 60, "fuel left is between 0 and 60 L"); }
  Result<void> operator()(const ServiceLineSet& f) const {
    if (f.running)
      if (auto ok = within(in_hours(*f.running), 0.1, 10000, "an interval is between 0.1 and 10,000 h"); !ok) return ok;
    if (f.air)
      if (auto ok = within(in_hours(*f.air), 0.1, 10000, "an interval is between 0.1 and 10,000 h"); !ok) return ok;
    if (f.calendar)
      if (auto ok = within(in_days(*f.calendar), 1, 36525, "an interval is between a day and 100 years"); !ok) return ok;
    if (f.launches)
      if (auto ok = within(*f.launches, 1, 100000, "an interval is between 1 and 100,000 launches"); !ok) return ok;
    return {};
  }
  Result<void> operator()(const PartRegistered& f) const {
    for (const auto& before : {f.running_before, f.air_before, f.ground_handling_before})
      if (before)
        if (auto ok = within(in_hours(*before), 0, 20000, "hours before are between 0 and 20,000"); !ok) return ok;
    if (!f.launches_before) return {};
    return within(*f.launches_before, 0, 100000, "launches before are between 0 and 100,000");
  }
  Result<void> operator()(const RunMeasured& f) const {
    if (auto room = within(f.room.si(), 3, 1000, "a take-off run is between 3 and 1,000 m"); !room) return room;
    if (f.steps)
      if (auto ok = within(*f.steps, 3, 2000, "a take-off run is between 3 and 2,000 steps"); !ok) return ok;
    if (f.headwind)
      if (auto ok = within(f.headwind->si(), -10, 15, "wind along a run is between 15 m/s from ahead and 10 m/s from behind");
          !ok)
        return ok;
    if (f.temperature)
      if (auto ok = within(in_celsius(*f.temperature), -40, 50, "the air is between -40 and 50 °C (-40 and 122 °F)"); !ok)
        return ok;
    if (f.height)
      if (auto ok = within(f.height->si(), -400, 5000, "a field lies between -400 and 5,000 m above sea level"); !ok) return ok;
    if (f.slope)
      if (auto ok = within(*f.slope, -0.3, 0.3, "a slope is between -30 and 30 %"); !ok) return ok;
    if (f.all_up) return within(in_kilograms(*f.all_up), 40, 450, "an all-up mass is between 40 and 450 kg");
    return {};
  }
  Result<void> operator()(const MoneySpent& f) const {
    return within(static_cast<double>(f.private_cents) / 100, -1e7, 1e7, "money is between -10 and 10 million");
  }
  template <class Other>
  Result<void> operator()(const Other&) const {
    return {};
  }

 private:
  static Result<void> litre_range(Volume v, double low, double high, const char* range) {
    return within(in_litres(v), low, high, range);
  }
};

}  // namespace

Result<void> check_plausible(const PlainFacts& facts) {
  return std::visit(PlausibleCheck{}, facts);
}

}  // namespace headroom

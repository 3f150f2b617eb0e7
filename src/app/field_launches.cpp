#include "app/field_launches.h"

#include <fmt/format.h>

#include <map>

#include "app/book_reading.h"
#include "app/load_state.h"
#include "core/earth/geodesy.h"
#include "core/track/path.h"
#include "core/typed.h"

namespace headroom {
namespace {

constexpr double kFirstAway_m = 30;
constexpr double kFirstWithin_s = 30;

std::optional<double> first_direction(const FlightEntry& flight) {
  const auto path = decode_path(flight.private_path, flight.launch);
  if (!path) return std::nullopt;
  for (const PathPoint& p : *path) {
    if (p.time <= flight.launch) continue;
    if (in_seconds(duration_between(flight.launch, p.time)) > kFirstWithin_s) break;
    const auto line = geodesic(flight.private_launch, p.position);
    if (in_metres(line.distance) >= kFirstAway_m) return line.azimuth_at_start.degrees();
  }
  return std::nullopt;
}

}  // namespace

Result<PastLaunches> past_launches(Ports& ports) {
  const auto loaded = load_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  const State& state = loaded->state;
  std::map<EntryId, std::uint32_t> counting;
  for (std::size_t i = 0; i < state.flights.size(); ++i)
    if (state.flights[i].counts) counting.emplace(state.flights[i].id, static_cast<std::uint32_t>(i));
  std::map<std::uint32_t, double> rooms;
  for (const MeasureSample& m : state.measures)
    if (m.kind == MeasureKind::room_used) rooms[m.flight] = static_cast<double>(m.mid);

  PastLaunches past;
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  const auto book = read_book(**store);
  if (!book) return tl::unexpected<Error>(book.error());
  for (const BookEntry& e : book->entries) {
    const auto* flight = e.facts == nullptr ? nullptr : std::get_if<FlightEntry>(e.facts);
    if (flight == nullptr) continue;
    const auto known = counting.find(e.entry->header.id);
    if (known == counting.end()) continue;
    if (flight->begins_in_air) {
      ++past.began_in_air;
      continue;
    }
    if (!flight->has_positions) {
      ++(flight->recording == Hash{} ? past.by_hand : past.without_place);
      continue;
    }
    LaunchSeen seen;
    seen.position = flight->private_launch;
    seen.height = flight->summary.launch_height;
    seen.towards_deg = first_direction(*flight);
    if (const auto room = rooms.find(known->second); room != rooms.end()) seen.room_used = metres(room->second);
    if (seen.towards_deg) ++past.with_direction;
    past.seen.push_back(seen);
  }
  past.places = launch_places(past.seen);
  return past;
}

Result<FieldChange> change_of_launches(const PastLaunches& past, std::size_t number, const std::string& field,
                                       const State& state) {
  if (past.places.empty()) return fail(ErrorKind::not_found, "no launch in this book has a place");
  if (number == 0 && past.places.size() > 1)
    return fail(ErrorKind::bad_input,
                fmt::format("there are {} places; say which", past.places.size()) +
                    typed(fmt::format(" with --number 1 to {}", past.places.size())),
                "--number");
  if (number > past.places.size())
    return fail(ErrorKind::bad_input, fmt::format("there are only {} places", past.places.size()), "--number");
  const LaunchPlace& place = past.places[number == 0 ? 0 : number - 1];
  FieldChange change;
  change.field = field;
  change.describe = true;
  const auto known = find_field(state, field);
  if (!known || !(*known)->position) change.position = place.position;
  if (!known || !(*known)->height) change.height = place.height;
  return change;
}

}  // namespace headroom

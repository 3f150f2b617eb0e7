#include "app/flight_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "app/entry_words.h"
#include "app/flight_list.h"
#include "app/flight_told.h"
#include "app/head_history.h"
#include "app/said_time.h"
#include "app/shown_unit.h"
#include "core/earth/geodesy.h"
#include "core/learn/learned.h"
#include "formats/entry_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string usual_words(const Amount& usual, int n, const char* what, const UnitChoice& units) {
  const auto low = say_amount(exact_amount(usual.dimension, usual.low), units, false);
  const auto high = say_amount(exact_amount(usual.dimension, usual.high), units, false);
  // "28 to 44 m", the unit once where both have it.
  const auto space = low.find_last_of(' ');
  std::string first = low;
  if (space != std::string::npos && high.ends_with(low.substr(space)) && low.find(' ') == space) first = low.substr(0, space);
  return first + " to " + high + fmt::format(", {} {}", n, what);
}

MeasureRow head_row(const HeadPoint& head) {
  MeasureRow row;
  row.key = kHeadMaximum;
  row.words = "head maximum";
  row.today = exact_amount(Dimension::temperature, head.value.si());
  row.unusual = head.unusual;
  return row;
}

AnswerJson interval_json(const Amount& a, const ShownUnit& unit) {
  constexpr int kFiner = 2;  // a bar is drawn finer than a figure is said
  return {{"low", finite_number(unit.rounded(a.low, kFiner))},
          {"mid", finite_number(unit.rounded(a.mid, kFiner))},
          {"high", finite_number(unit.rounded(a.high, kFiner))}};
}

AnswerJson row_json(const MeasureRow& row, const UnitChoice& units) {
  const auto unit = shown_unit(row.today.dimension, units, row.today.mid);
  const bool spread = row.today.low < row.today.high;
  return {
      {"key", row.key},
      {"words", row.words},
      {"value_text", say_amount(row.today, units, false)},
      {"spread_text", spread ? AnswerJson(say_amount(exact_amount(row.today.dimension, row.today.low), units, false) + " to " +
                                          say_amount(exact_amount(row.today.dimension, row.today.high), units, false))
                             : AnswerJson(nullptr)},
      {"today", interval_json(row.today, unit)},
      {"usual", row.usual ? interval_json(*row.usual, unit) : AnswerJson(nullptr)},
      {"unit", unit.name},
      {"say", row.say},
      {"unusual", row.unusual}};
}

// "Sunday 14 June 2026"
std::string long_date(UtcTime local) {
  constexpr std::array kDays = {"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"};
  constexpr std::array kMonths = {"January", "February", "March",     "April",   "May",      "June",
                                  "July",    "August",   "September", "October", "November", "December"};
  const auto day = std::chrono::floor<std::chrono::days>(local);
  const std::chrono::year_month_day date(day);
  return fmt::format("{} {} {} {}", kDays[std::chrono::weekday(day).c_encoding()], static_cast<unsigned>(date.day()),
                     kMonths[static_cast<unsigned>(date.month()) - 1], static_cast<int>(date.year()));
}

std::string when_text(const FlightState& f, const AnswerJson& told, const Session& session, Clock& clock) {
  const auto local = [&](UtcTime t) {
    const auto offset = clock.offset_minutes(t, session.zone);
    return t + std::chrono::minutes(offset ? *offset : f.offset_min);
  };
  const auto launch = local(f.launch), landing = local(f.landing);
  const bool same_day = std::chrono::floor<std::chrono::days>(launch) == std::chrono::floor<std::chrono::days>(landing);
  std::string out = long_date(launch) + ", " + rfc3339(launch).substr(11, 5) + " to " + rfc3339(landing).substr(11, 5);
  if (!same_day) out += " on " + long_date(landing);
  // The nearest field of the book that the launch can have been on.
  const auto place = told.find("launch_position");
  if (place == told.end()) return out;
  const GeoPosition at{(*place)[0].get<double>(), (*place)[1].get<double>()};
  Length nearest = metres(1000);
  const FieldState* on = nullptr;
  for (const auto& field : session.state.fields) {
    if (!field.position) continue;
    const auto off = geodesic_distance(*field.position, at);
    if (off < nearest) nearest = off, on = &field;
  }
  return on == nullptr ? out : out + ", " + on->name;
}

std::string title_of(const FlightState& f, const std::vector<MeasureRow>& rows, const UnitChoice& units) {
  std::string out = say_duration(f.air_time) + " in the air.";
  constexpr std::size_t kNamed = 2;
  std::vector<const MeasureRow*> unusual;
  for (const auto& row : rows)
    if (row.unusual && row.usual) unusual.push_back(&row);
  for (std::size_t i = 0; i < unusual.size() && i < kNamed; ++i) {
    const auto& row = *unusual[i];
    const bool more = row.today.mid > row.usual->mid;
    if (row.key == kHeadMaximum) {
      const auto off = TemperatureDifference::from_si(std::abs(row.today.mid - row.usual->mid));
      out += " The head ran " + say_temperature_difference(off, units) + (more ? " hotter" : " cooler") + " than usual.";
    } else {
      out += " " + capital(row.words) + (more ? " higher" : " lower") + " than usual.";
    }
  }
  if (unusual.size() > kNamed) {
    const auto left = unusual.size() - kNamed;
    out += fmt::format(" {} more {} unusual.", left, left == 1 ? "measure is" : "measures are");
  }
  return out;
}

std::vector<std::string> tale_by_hand(const FlightState& f, const UnitChoice& units) {
  std::vector<std::string> out;
  if (f.recording == Hash{})
    out.emplace_back("Entered by hand: there is no recording of it, so its times are those you gave.");
  else
    out.push_back("Of this flight the book keeps: " + flight_text(f, units) + ".");
  if (f.launches > 1) out.push_back(fmt::format("{} launches in it.", f.launches));
  switch (f.running_basis) {
    case BasisKind::measured:
    case BasisKind::learned:
      out.push_back("The engine is taken to have run for " + say_duration(f.running_mid) + ".");
      break;
    case BasisKind::assumed:
      out.push_back("The engine is assumed to have run for " + say_duration(f.running_mid) + " (" + say_duration(f.running_low) +
                    " to " + say_duration(f.running_high) + "): an hour-meter reading tells it.");
      break;
    case BasisKind::unknown:
      out.emplace_back("How long the engine ran is not known: an hour-meter reading tells it.");
      break;
  }
  return out;
}

// The entries around a flight, and the photos that belong to it.
struct AroundFlight {
  struct One {
    std::uint64_t place = 0;
    EntryId id;
    UtcTime at{};
    std::string text;
  };
  std::vector<One> entries;
  std::vector<std::pair<Hash, std::string>> photos;
};

bool told_elsewhere(EntryKind kind) {
  switch (kind) {
    case EntryKind::flight:
    case EntryKind::remeasured:
    case EntryKind::recording_attached:
    case EntryKind::photo_attached:
    case EntryKind::setting:
    case EntryKind::amended:
    case EntryKind::voided:
      return true;
    default:
      return false;
  }
}

Result<AroundFlight> around_flight(const FlightState& flight, const Session& session, Store& store) {
  constexpr auto kAround = std::chrono::hours(12);
  const auto from = flight.launch - kAround, to = flight.landing + kAround;
  std::set<EntryId> voided;
  std::map<EntryId, EntryId> amended;  // the entry, by which other
  for (const auto& c : session.state.corrections) {
    if (!c.holds) continue;
    if (c.voids)
      voided.insert(c.of);
    else
      amended[c.of] = c.by;
  }
  AroundFlight out;
  std::map<EntryId, Amended> amendments;  // by their own id
  struct Found {
    std::uint64_t place = 0;
    Entry entry;
  };
  std::vector<Found> found;
  std::uint64_t place = 0;
  EntryHeader header;
  const auto read = store.read(0, [&](const EncodedEntry& bytes) {
    ++place;
    if (!decode_header(bytes.header, header)) return true;
    const bool corrects = header.kind == EntryKind::amended;
    const bool photo = header.kind == EntryKind::photo_attached;
    // An amendment may have moved an entry in time: those that were amended are looked at whatever their time.
    const bool near = header.at >= from && header.at <= to && !told_elsewhere(header.kind);
    if (!corrects && !photo && !near && !amended.contains(header.id)) return true;
    if (voided.contains(header.id)) return true;
    auto entry = decode(bytes);
    if (!entry) return true;
    if (auto* amendment = std::get_if<Amended>(&entry->facts))
      amendments.emplace(entry->header.id, std::move(*amendment));
    else
      found.push_back({place, std::move(*entry)});
    return true;
  });
  if (!read) return tl::unexpected<Error>(read.error());
  for (const auto& [number, entry] : found) {
    const auto* facts = &std::get<PlainFacts>(entry.facts);
    auto at = entry.header.at;
    if (const auto by = amended.find(entry.header.id); by != amended.end())
      if (const auto amendment = amendments.find(by->second); amendment != amendments.end()) {
        if (amendment->second.at) at = *amendment->second.at;
        if (!std::holds_alternative<UnknownFacts>(amendment->second.facts)) facts = &amendment->second.facts;
      }
    if (const auto* photo = std::get_if<PhotoAttached>(facts)) {
      if (photo->of == flight.id) out.photos.emplace_back(photo->photo, photo->private_text);
      continue;
    }
    if (at < from || at > to || told_elsewhere(entry.header.kind)) continue;
    out.entries.push_back({number, entry.header.id, at, facts_sentence(*facts, session.state, session.units)});
  }
  std::stable_sort(out.entries.begin(), out.entries.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
  return out;
}

AnswerJson recording_json(const FlightState& f, const State& state) {
  if (f.recording == Hash{}) return nullptr;
  for (const auto& r : state.recordings)
    if (r.hash == f.recording)
      return {{"sha256", r.hash.text()}, {"file_name", r.file_name}, {"bytes", r.bytes}, {"simulated", r.simulated}};
  return {{"sha256", f.recording.text()}, {"file_name", ""}, {"bytes", 0}, {"simulated", false}};
}

}  // namespace

Result<std::size_t> find_flight(const State& state, std::string_view word) {
  constexpr std::size_t kLeast = 4;
  if (word.size() < kLeast)
    return fail(ErrorKind::bad_input, "give at least the first 4 characters of the flight's id", std::string(word));
  std::size_t found = state.flights.size();
  int fits = 0;
  for (std::size_t i = 0; i < state.flights.size(); ++i)
    if (state.flights[i].id.text().starts_with(word)) found = i, ++fits;
  if (fits == 0) return fail(ErrorKind::not_found, "there is no flight of that id in the book", std::string(word));
  if (fits > 1)
    return fail(ErrorKind::bad_input, std::to_string(fits) + " flights begin so; give more of the id", std::string(word));
  return found;
}

std::vector<MeasureRow> measure_rows(const State& state, std::size_t flight, const UnitChoice& units) {
  std::vector<MeasureRow> rows;
  std::optional<HeadPoint> head;
  for (const auto& p : head_history(state))
    if (p.flight == flight && (!head || p.value > head->value)) head = p;
  if (head) {
    auto row = head_row(*head);
    if (head->enough) {
      row.usual =
          Amount{Dimension::temperature, head->low.si(), head->middle.si(), head->high.si(), learned_from(head->earlier), {}};
      row.say = "usual " + usual_words(*row.usual, head->earlier, "readings", units);
    } else {
      row.say = fmt::format("needs {} earlier ones, there are {}", kUsualNeeds, head->earlier);
    }
    rows.push_back(std::move(row));
  }
  const auto usual = usual_of_flight(state, state.flights[flight].id);
  if (!usual) return rows;
  const auto counting = state.flights[flight].counts ? state.flights[flight].id : state.flights[flight].same_as;
  std::size_t number = flight;
  for (std::size_t i = 0; i < state.flights.size() && !state.flights[flight].counts; ++i)
    if (state.flights[i].id == counting) number = i;
  for (const auto& u : *usual) {
    const auto sample = std::find_if(state.measures.begin(), state.measures.end(),
                                     [&](const MeasureSample& s) { return s.flight == number && s.kind == u.measure; });
    if (sample == state.measures.end()) continue;
    MeasureRow row;
    row.key = measure_key(u.measure);
    row.words = measure_words(u.measure);
    row.today = {measure_dimension(u.measure),
                 static_cast<double>(sample->low),
                 static_cast<double>(sample->mid),
                 static_cast<double>(sample->high),
                 measured(),
                 {}};
    if (u.answer && u.answer->enough) {
      row.today = u.answer->today;
      if (sample->has_standard) row.words += " at standard conditions";
      row.usual = u.answer->usual;
      row.unusual = u.answer->unusual;
      row.say = "usual " + usual_words(u.answer->usual, u.answer->n, "flights", units);
    } else if (u.answer) {
      row.say = u.answer->why;
    } else if (learned_of(u.measure)) {
      row.say = u.why_not;
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

Result<AnswerJson> flight_page_json(std::size_t number, const Session& session, Ports& ports) {
  const auto& state = session.state;
  const auto& f = state.flights[number];
  const auto& units = session.units;
  const auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  const auto around = around_flight(f, session, **store);
  if (!around) return tl::unexpected<Error>(around.error());
  auto told = flight_told(f, session, ports);
  const auto rows = measure_rows(state, number, units);

  AnswerJson out = {{"id", f.id.text()},
                    {"title", title_of(f, rows, units)},
                    {"when_text", when_text(f, told ? *told : AnswerJson::object(), session, ports.clock)},
                    {"tale", told ? (*told)["tale"] : AnswerJson(tale_by_hand(f, units))},
                    {"flight", told ? (*told)["flight"] : AnswerJson(nullptr)}};
  if (told) out["flight"]["entry"] = f.id.text();
  auto measures = AnswerJson::array();
  for (const auto& row : rows) measures.push_back(row_json(row, units));
  out["measures"] = measures;
  out["wind"] = told ? (*told)["wind"] : AnswerJson(nullptr);
  out["notes"] = told ? (*told)["notes"] : AnswerJson::array();
  out["doubts"] = told ? (*told)["doubts"] : AnswerJson::array();
  auto entries = AnswerJson::array();
  for (const auto& e : around->entries)
    entries.push_back({{"number", e.place}, {"id", e.id.text()}, {"at", rfc3339(e.at)}, {"text", e.text}});
  out["entries"] = entries;
  auto photos = AnswerJson::array();
  for (const auto& [hash, text] : around->photos) photos.push_back({{"sha256", hash.text()}, {"text", text}});
  out["photos"] = photos;
  out["recording"] = recording_json(f, state);
  const FlightState *older = nullptr, *newer = nullptr;
  for (std::size_t i = 0; i < number; ++i)
    if (state.flights[i].counts) older = &state.flights[i];
  for (std::size_t i = state.flights.size(); i-- > number + 1;)
    if (state.flights[i].counts) newer = &state.flights[i];
  out["older"] = older == nullptr ? AnswerJson(nullptr) : AnswerJson(older->id.text());
  out["newer"] = newer == nullptr ? AnswerJson(nullptr) : AnswerJson(newer->id.text());
  out["has_track"] = told.has_value();
  out["why_no_track"] = told ? AnswerJson(nullptr) : AnswerJson(capital(told.error().what) + ".");
  out["by_hand"] = f.recording == Hash{};
  out["counts"] = f.counts;
  out["same_as"] = f.counts ? AnswerJson(nullptr) : AnswerJson(f.same_as.text());
  return out;
}

}  // namespace headroom

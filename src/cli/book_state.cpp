#include "cli/book_state.h"

#include <fmt/format.h>

#include "app/next_entry.h"
#include "cli/display.h"
#include "cli/page.h"
#include "cli/text.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct NextSaid {
  std::string because, arguments;  // the command without "headroom"
};

NextSaid say_next(const NextEntry& next, const Session& session, UtcTime now) {
  using What = NextEntry::What;
  const auto& u = session.units;
  const auto litres_of = [&](double l) { return "\"" + say_volume(litres(l), u) + "\""; };
  const auto year_ago = rfc3339(now - std::chrono::days(200)).substr(0, 10);
  switch (next.what) {
    case What::first_recording:
      return {"A recording of a flight. Without one the hours on the meter begin the book as well: headroom enter hours 41.2",
              "debrief FILE"};
    case What::close_finding:
      return {"What was done about \"" + next.title + "\", which grounds the machine, once it is put right.",
              fmt::format("enter closed {} \"what was done\"", next.word)};
    case What::hours:
      return {"The hours on the meter, which services by running hours count from.", "enter hours 41.2"};
    case What::fuel_left:
      return {"What is in the tank; without it no brief can say whether it is enough.", "enter left " + litres_of(2.5)};
    case What::fuel_mixed:
      return {"What was mixed last, and with how much oil; without it the age and oil of the fuel are not known.",
              "enter mixed " + litres_of(10) + " --ratio 50 --at yesterday"};
    case What::part_made:
      return {"When the reserve was made, which its life counts from.", "enter part reserve \"its name\" --made 2021"};
    case What::service:
      return {fmt::format("When \"{}\" was last done.", next.title),
              fmt::format("enter service {} --at {}", next.word, year_ago)};
    case What::use_since:
      return {
          fmt::format("{} \"{}\" was last done: it was before this book counts.",
                      next.of_wing ? "How many hours the wing had flown when" : "What the hour meter showed when", next.title),
          std::string("enter hours 30 ") + (next.of_wing ? "--part wing " : "") + "--at " +
              (next.at ? rfc3339(*next.at).substr(0, 10) : year_ago)};
    case What::drill:
      return {"When you last practised reaching for the reserve's handle, hanging on the ground.",
              "enter drill reserve --at " + year_ago};
    case What::flights:
      return {"Your last flights, from a recording or by hand as here.", "enter flight \"45 min\" --at \"yesterday 18:30\""};
    case What::machine:
      return {"Your machine in place of the assumed one.", "enter machine \"its name\""};
    case What::pilot:
      return {"Yourself in place of the assumed pilot.",
              fmt::format("enter pilot \"your name\" --mass \"{}\"", say_mass(kilograms(80), u))};
    case What::nothing:
      return {"Nothing is missing that a brief asks for; the next flight, when it is flown.", "debrief FILE"};
  }
  return {};
}

std::string titles_of(const Brief& brief, MarginState state, std::size_t most) {
  std::string out;
  std::size_t n = 0;
  for (const auto& m : brief.margins) {
    if (m.state != state) continue;
    if (++n <= most) out += (n == 1 ? "" : "; ") + harmless(m.title);
  }
  if (n > most) out += fmt::format("; and {} more", n - most);
  return out;
}

std::string counted(std::size_t n, const char* one, const char* many) {
  return fmt::format("{} {}", n, n == 1 ? one : many);
}

}  // namespace

int run_book_state(World& world) {
  auto session = open_session(world, true);
  if (!session) return report(world, session.error());
  const auto& state = session->state;
  BriefRequest request;
  request.now = world.ports.clock.now();
  const auto brief = make_brief(state, request);
  const auto next = next_entry(state, brief);
  const auto said = say_next(next, *session, request.now);
  const std::string command =
      "headroom " + (world.shared.book.empty() ? "" : "--book " + world.shared.book + " ") + said.arguments;
  const bool simulated = state.setting("book_is") == "simulated";
  std::size_t flights = 0;
  Duration air;
  const FlightState* last = nullptr;
  for (const auto& f : state.flights) {
    if (!f.counts) continue;
    ++flights;
    air = air + f.air_time;
    last = &f;
  }

  if (world.shared.json) {
    const auto titles = [&](MarginState wanted) {
      auto out = AnswerJson::array();
      for (const auto& m : brief.margins)
        if (m.state == wanted) out.push_back({{"id", m.id}, {"title", m.title}});
      return out;
    };
    print(answer_text({{"book", world.ports.book.place()},
                       {"simulated", simulated},
                       {"entries", state.entries},
                       {"flights", flights},
                       {"air_time_s", finite_number(in_seconds(air))},
                       {"since", state.first_at ? AnswerJson(rfc3339(*state.first_at)) : AnswerJson(nullptr)},
                       {"last_flight", last != nullptr ? AnswerJson(rfc3339(last->launch)) : AnswerJson(nullptr)},
                       {"short", titles(MarginState::short_of)},
                       {"thin", titles(MarginState::thin)},
                       {"unknown", titles(MarginState::unknown)},
                       {"next", {{"because", said.because}, {"command", command}}},
                       {"caution", kCaution}}));
    return kDone;
  }
  const auto width = world.shared.width;
  const auto day = [&](UtcTime t) { return local_text(t, world.ports.clock, session->zone, false); };
  if (state.entries == 0) {
    print("The book is empty. It will be this file:\n  " + world.ports.book.place() + "\n");
  } else {
    if (simulated) print(wrapped(kSimulatedBook, width));
    print(wrapped(fmt::format("{} in the book{}: {}.", counted(state.entries, "entry", "entries"),
                              state.first_at ? " since " + day(*state.first_at) : "",
                              flights == 0 ? "no flight yet"
                                           : counted(flights, "flight", "flights") + ", " + say_duration(air) + " in the air"),
                  width));
    if (last != nullptr)
      print(wrapped(fmt::format("The last flight was on {}, {} long.", day(last->launch), say_duration(last->air_time)), width));
    constexpr std::size_t kMostShort = 6, kMostUnknown = 3;
    const auto line = [&](MarginState wanted, std::size_t most) {
      const auto titles = titles_of(brief, wanted, most);
      if (titles.empty()) return;
      auto word = std::string(state_word(wanted));
      word[0] = static_cast<char>(word[0] - 'a' + 'A');
      print(wrapped(underlined(word) + ": " + titles + ".", width, 2, 0));
    };
    line(MarginState::short_of, kMostShort);
    line(MarginState::thin, kMostShort);
    line(MarginState::unknown, kMostUnknown);
    print(wrapped("headroom brief says why. " + std::string(kCaution), width));
  }
  print("\n");
  print(wrapped(strong("Most useful next") + ": " + lower_first(said.because), width));
  print(wrapped(command, width, 6, 2));
  if (state.entries == 0) print("\n" + wrapped("headroom --help lists the commands.", width));
  return kDone;
}

}  // namespace headroom

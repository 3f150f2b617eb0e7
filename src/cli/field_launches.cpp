// headroom field from-launches [NAME]: the places of past launches, and a field described at one of them.
#include "app/field_launches.h"

#include <fmt/format.h>

#include <memory>

#include "cli/field_parts.h"
#include "cli/text.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct LaunchArguments {
  std::string field;
  std::size_t number = 0;
  bool write = false;
};

constexpr const char* kOfDirections =
    "The book keeps no direction of the take-off run: directions are those of the first 30 s in the air at most. How much room "
    "there is, launches do not tell: no strip is described from them.";

std::string counted(std::size_t n, const char* one, const char* several) {
  return fmt::format("{} {}", n, n == 1 ? one : several);
}

std::string direction_words(const UsualDirection& d) {
  if (d.launches == 1) return fmt::format("{:.0f}° once", d.towards_deg);
  return fmt::format("{:.0f}° (standard deviation {:.0f}°) {} times", d.towards_deg, d.spread_deg, d.launches);
}

std::string places_text(const PastLaunches& past, const Session& session, World& world) {
  std::string out;
  const auto lines = [&](const std::string& text, std::size_t indent = 0, std::size_t first = 0) {
    out += wrapped(text, world.shared.width, indent, first);
  };
  if (past.places.empty()) lines("No launch in this book has a place yet: headroom debrief FILE takes it from a recording.");
  for (std::size_t i = 0; i < past.places.size(); ++i) {
    const LaunchPlace& p = past.places[i];
    std::string text = fmt::format("{}. {:.5f}, {:.5f}: {}", i + 1, p.position.latitude_deg, p.position.longitude_deg,
                                   counted(p.launches.size(), "launch", "launches"));
    if (p.height) text += ", " + say_height(*p.height - AltitudeMsl{}, session.units) + " above sea level (median)";
    for (const auto& f : session.state.fields)
      if (f.position && in_metres(short_distance(*f.position, p.position)) <= kSamePlace_m) text += "; described as " + f.name;
    lines(text + ".", 3);
    std::string towards;
    for (const UsualDirection& d : p.directions) towards += (towards.empty() ? "Towards " : ", ") + direction_words(d);
    if (!towards.empty()) lines(towards + ".", 3, 3);
    if (p.room_used)
      lines(fmt::format("Room used, first step to lift-off: {} (median of {}).", say_distance(*p.room_used, session.units),
                        p.rooms),
            3, 3);
  }
  if (past.with_direction > 0) lines(kOfDirections);
  if (past.by_hand > 0) lines(counted(past.by_hand, "flight", "flights") + " entered by hand: no place.");
  if (past.began_in_air > 0)
    lines(counted(past.began_in_air, "recording", "recordings") + " begun in the air: the launch was not seen.");
  if (past.without_place > 0)
    lines(counted(past.without_place, "flight", "flights") + " whose place was left out of this copy of the book.");
  return out;
}

AnswerJson places_json(const PastLaunches& past, const LaunchArguments& a) {
  AnswerJson out = {{"field", a.field.empty() ? AnswerJson(nullptr) : AnswerJson(a.field)},
                    {"written", a.write},
                    {"by_hand_count", past.by_hand},
                    {"began_in_air_count", past.began_in_air},
                    {"without_place_count", past.without_place}};
  auto places = AnswerJson::array();
  for (const LaunchPlace& p : past.places) {
    auto directions = AnswerJson::array();
    for (const UsualDirection& d : p.directions)
      directions.push_back({{"towards_deg", finite_number(d.towards_deg)},
                            {"spread_deg", finite_number(d.spread_deg)},
                            {"launches_count", d.launches}});
    places.push_back({{"latitude", finite_number(p.position.latitude_deg)},
                      {"longitude", finite_number(p.position.longitude_deg)},
                      {"height_m", p.height ? AnswerJson(finite_number(p.height->si())) : AnswerJson(nullptr)},
                      {"launches_count", p.launches.size()},
                      {"room_used_m", p.room_used ? AnswerJson(finite_number(in_metres(*p.room_used))) : AnswerJson(nullptr)},
                      {"directions", directions}});
  }
  out["places"] = places;
  return out;
}

int show_launches(World& world, const LaunchArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  if (a.write && a.field.empty())
    return report(world, {ErrorKind::bad_input,
                          "say the name of the field to describe: headroom field from-launches NAME --write", "--write"});
  const auto past = past_launches(world.ports);
  if (!past) return report(world, past.error());
  std::vector<std::string> assumed;
  if (a.write) {
    const auto change = change_of_launches(*past, a.number, a.field, session->state);
    if (!change) return report(world, change.error());
    auto written = write_field(*change, *session, world);
    if (!written) return report(world, written.error());
    assumed = std::move(*written);
  }
  if (world.shared.json) {
    print(answer_text(places_json(*past, a)));
    return kDone;
  }
  print(places_text(*past, *session, world));
  for (const auto& sentence : assumed) print(wrapped(sentence, world.shared.width));
  if (a.field.empty()) return kDone;
  if (!a.write) {
    if (!past->places.empty())
      print("\n" + wrapped("Nothing is written; say --write to describe " + a.field + " at one of them.", world.shared.width));
    return kDone;
  }
  print("\n");
  return show_described(a.field, world);
}

}  // namespace

void add_field_from_launches(CommandTree& tree, CLI::App& field) {
  auto a = std::make_shared<LaunchArguments>();
  auto* sub = field.add_subcommand("from-launches", "The places of past launches in the book");
  sub->add_option("field", a->field, "Its name, to describe it at one of them")->type_name("FIELD");
  sub->add_option("--number", a->number, "Which of the places, if there are several")
      ->type_name("N")
      ->check(CLI::Range(std::size_t{1}, std::size_t{100000}));
  sub->add_flag("--write", a->write, "Describe the field there; what was entered of it stays");
  sub->footer(
      "Examples:\n  headroom field from-launches\n"
      "  headroom field from-launches \"Upper meadow\" --number 1 --write");
  sub->callback([&tree, a] { tree.action = [a](World& world) { return show_launches(world, *a); }; });
}

}  // namespace headroom
